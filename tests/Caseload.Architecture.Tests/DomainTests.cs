using System.Reflection;
using System.Runtime.CompilerServices;
using ArchUnitNET.Domain;
using Assembly = System.Reflection.Assembly;

namespace Caseload.Architecture.Tests;

/// <summary>The domain is pure: no package, no waiting, no clock, nothing that changes.</summary>
public sealed class DomainTests
{
    private static readonly string[] _impure =
    [
        "System.Console",
        "System.Diagnostics.",
        "System.Environment",
        "System.IO.Directory",
        "System.IO.File",
        "System.Net.",
        "System.Random",
        "System.Threading.Tasks.",
        "System.Threading.Thread",
        "System.TimeProvider",
    ];

    private static readonly string[] _impureCalls =
    [
        "System.DateTime::get_Now()",
        "System.DateTime::get_Today()",
        "System.DateTime::get_UtcNow()",
        "System.DateTimeOffset::get_Now()",
        "System.DateTimeOffset::get_UtcNow()",
        "System.Guid::CreateVersion7",
        "System.Guid::NewGuid()",
        "System.TimeZoneInfo::get_Local()",
    ];

    [Fact]
    public void Domain_Always_ReferencesOnlyTheFramework() => ForeignReferences(House.Domain).ShouldBeEmpty();

    [Fact]
    public void Reference_WhenItIsAPackage_IsCaught() => ForeignReferences(House.Data).ShouldContain("Npgsql");

    [Fact]
    public void Domain_Always_KnowsNoTaskNoClockAndNoMachine() => ImpureUses(House.TypesOf(House.Domain)).ShouldBeEmpty();

    [Fact]
    public void ImpureUse_WhenPlanted_IsCaught()
    {
        var found = ImpureUses(House.TypesIn(House.Planted + ".Domain")).ToList();

        found.ShouldContain(use => use.StartsWith("WaitsForSomething: System.Threading.Tasks."));
        found.ShouldContain(use => use.StartsWith("AsksForTheTime: ") && use.EndsWith("System.DateTime::get_UtcNow()"));
        found.ShouldContain("AsksForTheTime: System.TimeProvider");
        found.ShouldContain(use => use.StartsWith("AsksInALambda: ") && use.EndsWith("System.DateTime::get_Today()"));
        found.ShouldContain(use => use.StartsWith("MakesIdentifiers: ") && use.Contains("System.Guid::CreateVersion7"));
    }

    [Fact]
    public void Domain_Always_HoldsNoStaticThatChanges() => MutableStatics(House.ReflectedFrom(House.Domain)).ShouldBeEmpty();

    [Fact]
    public void StaticThatChanges_WhenPlanted_IsCaught() =>
        MutableStatics(House.ReflectedPlanted("Domain"))
            .ShouldBeOnly(
                ("RemembersSomething._count", "planted: a field that anybody may set"),
                ("RemembersSomething.Last", "planted: a property with a setter")
            );

    [Fact]
    public void DomainTypes_Always_AreClosed() => OpenTypes(House.ReflectedFrom(House.Domain)).ShouldBeEmpty();

    [Fact]
    public void OpenType_WhenPlanted_IsCaught() =>
        OpenTypes(House.ReflectedPlanted("Domain"))
            .ShouldBeOnly(
                ("CanBeInherited", "planted: a class that is neither sealed nor static"),
                ("IHasOneImplementation", "planted: an interface that only one type implements")
            );

    [Fact]
    public void DomainTypes_Always_HaveNoSetters() => Setters(House.ReflectedFrom(House.Domain)).ShouldBeEmpty();

    [Fact]
    public void Setter_WhenPlanted_IsCaught() =>
        Setters(House.ReflectedPlanted("Domain"))
            .ShouldBeOnly(
                ("CanBeChanged.Name", "planted: a record with a public setter"),
                ("CanBeChangedQuietly.Name", "planted: a struct with a private setter"),
                ("RemembersSomething.Last", "planted: a static property with a setter")
            );

    private static IEnumerable<string> ForeignReferences(Assembly assembly) =>
        assembly
            .GetReferencedAssemblies()
            .Select(reference => reference.Name!)
            .Where(name => name != "System" && !name.StartsWith("System.", StringComparison.Ordinal));

    private static IEnumerable<string> ImpureUses(IEnumerable<IType> types) =>
        types.SelectMany(type =>
            House
                .TargetsOf(type)
                .Where(target => _impure.Any(name => name[^1] == '.' ? target.StartsWith(name, StringComparison.Ordinal) : target == name))
                // Attributes and assertions of the compiler's own; nothing is measured with them.
                .Where(target => target is not ("System.Diagnostics.Debug" or "System.Diagnostics.UnreachableException"))
                .Where(target => !target.StartsWith("System.Diagnostics.CodeAnalysis.", StringComparison.Ordinal))
                .Concat(House.CallsOf(type).Select(call => call.To).Where(call => _impureCalls.Any(call.Contains)))
                .Select(use => $"{type.Name}: {use}")
        );

    private static IEnumerable<string> MutableStatics(IEnumerable<Type> types) =>
        types.SelectMany(type =>
            type.GetFields(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly)
                .Where(field => field is { IsInitOnly: false, IsLiteral: false })
                .Select(field =>
                    $"{type.Name}.{field.Name.Split('<', '>') switch { [_, var property, ..] => property, [var name] => name, _ => "" }}"
                )
        );

    /// <summary>Types that others may extend. An interface needs two implementations, else it is a name for nothing.</summary>
    private static IEnumerable<string> OpenTypes(IReadOnlyList<Type> types) =>
        types
            .Where(type =>
                type.IsInterface
                    ? types.Count(other => other != type && type.IsAssignableFrom(other)) < 2
                    : type is { IsSealed: false, IsValueType: false } && !IsClosedChoice(type, types)
            )
            .Select(type => type.Name);

    // A choice between listed cases: abstract, and extended only by types nested in it.
    private static bool IsClosedChoice(Type type, IEnumerable<Type> types) =>
        type.IsAbstract && types.Where(other => other.BaseType == type).All(other => other.DeclaringType == type);

    private static IEnumerable<string> Setters(IEnumerable<Type> types) =>
        types.SelectMany(type =>
            type.GetProperties(
                    BindingFlags.Instance | BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly
                )
                .Where(property => property.SetMethod is { } setter && !IsInit(setter))
                .Select(property => $"{type.Name}.{property.Name}")
        );

    private static bool IsInit(MethodInfo setter) => setter.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(IsExternalInit));
}
