using System.Reflection;
using ArchUnitNET.Domain;
using ArchUnitNET.Domain.Dependencies;
using ArchUnitNET.Loader;
using Caseload.Data;
using Caseload.DemoSeed;
using Caseload.Domain.Ages;
using Caseload.Web.Components;
using Assembly = System.Reflection.Assembly;
using Type = System.Type;

namespace Caseload.Architecture.Tests;

/// <summary>The compiled assemblies, read once, and beside them the offenders that every rule must catch.</summary>
internal static class House
{
    internal const string Planted = "Caseload.Architecture.Tests.Offenders";

    private static readonly Lazy<ArchUnitNET.Domain.Architecture> _all = new(() =>
        new ArchLoader().LoadAssemblies(Domain, Data, Web, DemoSeed, Tests).Build()
    );

    internal static Assembly Domain { get; } = typeof(BirthFacts).Assembly;

    internal static Assembly Data { get; } = typeof(CaseloadDb).Assembly;

    internal static Assembly Web { get; } = typeof(App).Assembly;

    internal static Assembly DemoSeed { get; } = typeof(DemoCaseload).Assembly;

    internal static Assembly Tests { get; } = typeof(House).Assembly;

    /// <summary>Dependencies of everything; those of lambdas and async methods count for the type that was written.</summary>
    internal static ArchUnitNET.Domain.Architecture All => _all.Value;

    internal static IReadOnlyList<IType> TypesOf(Assembly assembly) =>
        NotEmpty(
            All.Types.Where(type => type.Assembly.Name.Split(',')[0] == assembly.GetName().Name && IsWritten(type.Name)),
            assembly.FullName!
        );

    internal static IReadOnlyList<IType> TypesIn(string space) =>
        NotEmpty(All.Types.Where(type => IsIn(type, space) && IsWritten(type.Name)), space);

    internal static IReadOnlyList<Type> ReflectedFrom(Assembly assembly) =>
        NotEmpty(assembly.GetTypes().Where(type => IsWritten(type.FullName!)), assembly.FullName!);

    internal static IReadOnlyList<Type> ReflectedPlanted(string area) =>
        NotEmpty(
            Tests
                .GetTypes()
                .Where(type =>
                    type.Namespace?.StartsWith($"{Planted}.{area}", StringComparison.Ordinal) == true && IsWritten(type.FullName!)
                ),
            area
        );

    internal static bool IsIn(IType type, string space) =>
        type.FullName.StartsWith(space + ".", StringComparison.Ordinal) || type.FullName.StartsWith(space + "+", StringComparison.Ordinal);

    /// <summary>The full name of the outermost type.</summary>
    internal static string OuterName(IType type) => type.FullName.Split('+')[0];

    /// <summary>What a type depends on, as outermost types.</summary>
    /// <remarks>
    /// The library takes one constrained type parameter for another of the same name, so that a generic method seems to know an internal
    /// type of another assembly; the compiler would not let it.
    /// </remarks>
    internal static IEnumerable<string> TargetsOf(IType type) =>
        type
            .Dependencies.Select(dependency => dependency.Target)
            .Where(target => !IsOurs(target) || target.Visibility == Visibility.Public || target.Assembly?.Name == type.Assembly?.Name)
            .Select(OuterName)
            .Distinct()
            .Order(StringComparer.Ordinal);

    internal static IEnumerable<(string From, string To)> CallsOf(IType type) =>
        type.Dependencies.OfType<MethodCallDependency>().Select(call => (call.OriginMember.Name, call.TargetMember.FullName));

    private static bool IsOurs(IType type) => type.FullName.StartsWith("Caseload.", StringComparison.Ordinal);

    // Names that the compiler makes hold an angle bracket.
    private static bool IsWritten(string name) => !name.Contains('<');

    // A rule over nothing always holds; it must not pass because a name was changed.
    private static List<T> NotEmpty<T>(IEnumerable<T> types, string what)
    {
        var list = types.ToList();
        return list.Count > 0 ? list : throw new InvalidOperationException($"No type was found in {what}.");
    }
}

/// <summary>Comparing what a rule found with what is allowed.</summary>
internal static class Exceptions
{
    /// <summary>Nothing but the listed exceptions, and every one of them: an entry that is no longer needed must go.</summary>
    internal static void ShouldBeOnly(this IEnumerable<string> found, params (string Name, string Reason)[] allowed)
    {
        allowed.ShouldAllBe(entry => entry.Reason.Length > 20);
        found.Distinct().Order(StringComparer.Ordinal).ShouldBe(allowed.Select(entry => entry.Name).Order(StringComparer.Ordinal));
    }
}
