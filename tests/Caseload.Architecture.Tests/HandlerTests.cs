using System.Reflection;
using Caseload.Data;

namespace Caseload.Architecture.Tests;

/// <summary>Every use case has the same shape, so that knowing one is knowing all.</summary>
public sealed class HandlerTests
{
    private const int MostConstructorParameters = 5;

    [Fact]
    public void Handlers_Always_HaveOneShape() => MisshapenHandlers(House.ReflectedFrom(House.Web)).ShouldBeEmpty();

    [Fact]
    public void Handler_WhenPlantedMisshapen_IsCaught() =>
        MisshapenHandlers(House.ReflectedPlanted("Handlers"))
            .ShouldBeOnly(
                ("OpenHandler: is not sealed", "planted: may be inherited from"),
                ("TwoDoorsHandler: has 2 public methods", "planted: two use cases in one class"),
                ("OddlyNamedHandler: its method is called RunAsync", "planted: another name for the one method"),
                ("WithoutActorHandler: takes no actor first", "planted: nobody is said to act"),
                ("WithoutTokenHandler: takes no cancellation token last", "planted: goes on after the person has left"),
                ("HungryHandler: takes 6 things", "planted: does the work of several")
            );

    [Fact]
    public void Handlers_Always_StandAlone() => UsesOfHandlers(House.TypesOf(House.Web)).ShouldBeEmpty();

    [Fact]
    public void UseOfAHandler_WhenPlantedInAnother_IsCaught() =>
        UsesOfHandlers(House.TypesIn(House.Planted + ".Handlers"))
            .ShouldBeOnly(
                ("AsksAnotherHandler > OpenHandler", "planted: takes another handler in its constructor"),
                ("MakesAnotherHandler > OpenHandler", "planted: makes another handler in an async method")
            );

    private static bool IsHandler(string name) => name.EndsWith("Handler", StringComparison.Ordinal);

    private static IEnumerable<string> MisshapenHandlers(IEnumerable<Type> types) =>
        types
            .Where(type => type is { IsClass: true } && IsHandler(type.Name))
            .SelectMany(type => FaultsOf(type).Select(fault => $"{type.Name}: {fault}"));

    private static IEnumerable<string> FaultsOf(Type handler)
    {
        if (!handler.IsSealed)
        {
            yield return "is not sealed";
        }
        var most = handler.GetConstructors().Max(constructor => constructor.GetParameters().Length);
        if (most > MostConstructorParameters)
        {
            yield return $"takes {most} things";
        }
        var methods = handler
            .GetMethods(BindingFlags.Public | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly)
            .Where(method => !method.IsSpecialName)
            .ToList();
        if (methods.Count != 1)
        {
            yield return $"has {methods.Count} public methods";
            yield break;
        }
        if (methods[0].Name != "HandleAsync")
        {
            yield return $"its method is called {methods[0].Name}";
        }
        var parameters = methods[0].GetParameters();
        if (parameters.FirstOrDefault()?.ParameterType != typeof(Actor))
        {
            yield return "takes no actor first";
        }
        if (parameters.LastOrDefault()?.ParameterType != typeof(CancellationToken))
        {
            yield return "takes no cancellation token last";
        }
    }

    private static IEnumerable<string> UsesOfHandlers(IEnumerable<ArchUnitNET.Domain.IType> types) =>
        types
            .Where(type => IsHandler(House.OuterName(type)))
            .SelectMany(type =>
                House
                    .TargetsOf(type)
                    .Where(target =>
                        IsHandler(target) && target.StartsWith("Caseload.", StringComparison.Ordinal) && target != House.OuterName(type)
                    )
                    .Select(target => $"{type.Name} > {target.Split('.')[^1]}")
            )
            .Distinct();
}
