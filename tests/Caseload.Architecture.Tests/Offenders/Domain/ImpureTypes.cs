namespace Caseload.Architecture.Tests.Offenders.Domain;

internal static class WaitsForSomething
{
    internal static async Task<int> AnswerAsync()
    {
        await Task.Yield();
        return 1;
    }
}

internal static class AsksForTheTime
{
    internal static DateTime Directly() => DateTime.UtcNow;

    internal static DateTimeOffset Through(TimeProvider time) => time.GetUtcNow();
}

internal static class AsksInALambda
{
    internal static IEnumerable<bool> Past(IEnumerable<DateTime> days) => days.Select(day => day < DateTime.Today);
}

internal static class MakesIdentifiers
{
    internal static Guid Next() => Guid.CreateVersion7();
}

internal static class RemembersSomething
{
    private static int _count;

    internal static int Last { get; set; }

    internal static int Count() => ++_count;
}

internal class CanBeInherited;

internal interface IHasOneImplementation;

internal sealed class OnlyImplementation : IHasOneImplementation;

internal sealed record CanBeChanged
{
    public string Name { get; set; } = "";
}

internal struct CanBeChangedQuietly
{
    public string Name { get; private set; }
}

internal abstract record ListsItsCases
{
    internal sealed record First : ListsItsCases;

    internal sealed record Second : ListsItsCases;
}
