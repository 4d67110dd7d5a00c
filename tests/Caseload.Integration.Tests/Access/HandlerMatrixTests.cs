using System.Reflection;
using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Visits;
using Caseload.Web.Platform;

namespace Caseload.Integration.Tests.Access;

/// <summary>
/// Every use case, tried by everybody, on a child of the own caseload, of a colleague's and of another programme. What is expected is written
/// by hand in <see cref="HandlerMatrix"/>, not taken from the permission table that the application reads.
/// </summary>
public sealed class HandlerMatrixTests(MigratedPostgres postgres)
{
    public static TheoryData<string> Handlers => [.. Types().Select(type => type.Name)];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    [Trait("Requirement", "SEC-01")]
    public void Handlers_All_StandInTheMatrix() =>
        Types().Select(type => type.Name).Order(StringComparer.Ordinal).ShouldBe(HandlerMatrix.Rows.Keys.Order(StringComparer.Ordinal));

    [Theory]
    [MemberData(nameof(Handlers))]
    [Trait("Requirement", "SEC-02")]
    [Trait("Requirement", "SEC-05")]
    public async Task Handler_TriedByEverybody_LetsInWhoMayAndNobodyElse(string name)
    {
        var row = HandlerMatrix.Rows[name];
        var world = await AccessWorld.MakeAsync(postgres, row.HasOpenVisits, row.AreClosed);
        var unexpected = new List<string>();
        var tried = 0;
        string? standing = null;
        foreach (var child in Enumerable.Range(0, row.IsAboutAChild ? world.Children.Length : 1))
        {
            // Those first who must change nothing, so that the others' changes cannot hide theirs.
            foreach (var who in Enum.GetValues<Who>().OrderBy(who => row.Expected(who, child) == Outcome.Pass))
            {
                var expected = row.Expected(who, child);
                if (row.IsUsedUp && expected == Outcome.Pass && tried > 0)
                {
                    await world.DisposeAsync();
                    world = await AccessWorld.MakeAsync(postgres, row.HasOpenVisits, row.AreClosed);
                }
                tried++;
                var before = expected == Outcome.Pass ? null : standing ?? await world.FingerprintAsync();
                var outcome = await TryAsync(world, row, name, who, child);
                if (outcome != expected)
                {
                    unexpected.Add($"{who} on child {child}: {outcome}, expected {expected}");
                }
                standing = expected == Outcome.Pass ? null : await world.FingerprintAsync();
                if (standing != before)
                {
                    unexpected.Add($"{who} on child {child}: changed something");
                }
            }
        }
        await world.DisposeAsync();

        unexpected.ShouldBeEmpty();
        tried.ShouldBe(Enum.GetValues<Who>().Length * (row.IsAboutAChild ? 3 : 1));
    }

    [Fact]
    public async Task Ids_TakenByWhatOneDoesNotSee_EndInARefusal()
    {
        await using var world = await AccessWorld.MakeAsync(postgres, hasOpenVisits: false);
        var actor = world.Of(Who.OwnClinician);
        var start = (StartVisitHandler)world.Services.GetService(typeof(StartVisitHandler))!;
        var save = (SaveChildHandler)world.Services.GetService(typeof(SaveChildHandler))!;
        var taken = new StartVisit(world.Children[1].FinishedVisitId, world.Children[0].Child.Id, StoreFixture.TodayOn, null);

        (await start.HandleAsync(actor, taken, Ct)).ShouldBeOfType<StartVisitOutcome.Refused>();
        (
            await save.HandleAsync(actor, new SaveChild(world.Children[1].Child.Id, true, 0, ChildForm.Of(world.Children[0].Child)), Ct)
        ).ShouldBeOfType<SaveChildOutcome.ChangedMeanwhile>();
    }

    private static IEnumerable<Type> Types() =>
        typeof(WebHost)
            .Assembly.GetTypes()
            .Where(type => type is { IsClass: true, IsAbstract: false } && type.Name.EndsWith("Handler", StringComparison.Ordinal));

    private static async Task<Outcome> TryAsync(AccessWorld world, HandlerMatrix.Row row, string name, Who who, int child)
    {
        var type = Types().Single(candidate => candidate.Name == name);
        var handle = type.GetMethod("HandleAsync", BindingFlags.Public | BindingFlags.Instance)!;
        var request = row.Request(world, world.Children[child]);
        try
        {
            var running = (Task)handle.Invoke(world.Services.GetService(type), [world.Of(who), request, Ct])!;
            await running;
            var answer = running.GetType().GetProperty("Result")!.GetValue(running);
            return row.IsAboutTheDoorOnly || !IsHidden(answer, row) ? Outcome.Pass : Outcome.Hidden;
        }
        catch (AccessDeniedException)
        {
            return Outcome.Deny;
        }
        catch (SignInEndedException)
        {
            return Outcome.Ended;
        }
    }

    /// <summary>Whether an answer says that there is no such thing.</summary>
    private static bool IsHidden(object? answer, HandlerMatrix.Row row) =>
        row.IsEmpty is { } isEmpty
            ? isEmpty(answer)
            : answer switch
            {
                null or false => true,
                IReadOnlyList<Refusal> refusals => refusals.Count > 0,
                _ => answer.GetType().Name is "NotFound" or "Refused" or "NotOpen",
            };
}

/// <summary>What came of a try.</summary>
internal enum Outcome
{
    /// <summary>Let through.</summary>
    Pass,

    /// <summary>None of the roles allows it.</summary>
    Deny,

    /// <summary>As if it were not there.</summary>
    Hidden,

    /// <summary>The sign-in is over.</summary>
    Ended,
}
