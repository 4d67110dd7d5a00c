using System.Text.Json;
using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Summaries;
using CsCheck;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Papers;

/// <summary>
/// What a summary of a past day says later is what it said on that day: findings, corrections, withdrawals, late entries, visits, assignments and
/// plans that were recorded afterwards change nothing.
/// </summary>
public sealed class SummaryAsOfTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private const int Days = 9;

    private static readonly string[] _items = ["moro", "palmar_grasp", "rooting", "galant", "landau"];
    private static readonly TimeZoneInfo _zone = TimeZoneInfo.FindSystemTimeZoneById("America/Chicago");

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private enum What
    {
        Look,
        LateLook,
        Correct,
        Withdraw,
        Give,
        GiveLater,
        GiveBack,
        Plan,
        AddChild,
        Close,
    }

    private sealed record Step(int Day, What What, int Child, int Pick, int Offset);

    [Fact]
    public async Task PastDay_AskedForLater_SaysWhatItSaidThen() =>
        await Gen.Select(
                Gen.Int[0, Days - 1],
                Gen.Enum<What>(),
                Gen.Int[0, 3],
                Gen.Int[0, 40],
                Gen.Int[1, 6],
                (day, what, child, pick, offset) => new Step(day, what, child, pick, offset)
            )
            .List[30, 60]
            .SampleAsync(LiveAsync, iter: 8, threads: 1);

    private async Task LiveAsync(List<Step> steps)
    {
        var programmeId = StoreFixture.NewId();
        await store.Db.CreateProgrammeAsync(programmeId, "Generated", _zone.Id, store.Time.GetUtcNow(), Ct);
        var world = new World(programmeId, await AddCliniciansAsync(programmeId));
        for (var child = 0; child < 3; child++)
        {
            await AddChildAsync(world);
        }
        var said = new List<(DateOnly On, string Text)>();
        for (var day = 0; day < Days; day++)
        {
            store.Time.Advance(TimeSpan.FromDays(1));
            await new AssignmentClock(store.Db, store.Statuses).RunAsync(programmeId, Today, Ct);
            foreach (var step in steps.Where(step => step.Day == day))
            {
                store.Time.Advance(TimeSpan.FromSeconds(7));
                await TakeAsync(world, step);
            }
            said.Add((Today, await SayAsync(programmeId, Today)));
        }
        foreach (var (on, text) in said)
        {
            (await SayAsync(programmeId, on)).ShouldBe(text, $"as of {on:yyyy-MM-dd}, asked on {Today:yyyy-MM-dd}");
        }
        said.Select(day => day.Text).Distinct().Count().ShouldBeGreaterThan(1, "days that all say the same prove nothing");
    }

    private DateOnly Today => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(store.Time.GetUtcNow(), _zone).DateTime);

    private async Task<string> SayAsync(Guid programmeId, DateOnly asOfOn)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        var summary = await SummaryReading.ReadAsync(
            context,
            store.Library,
            new SummaryAsk(asOfOn, asOfOn.AddDays(-28)),
            new SummarySheet("test", store.Time.GetUtcNow(), _zone, HasNames: true),
            null,
            Ct
        );
        return JsonSerializer.Serialize(new { summary.Children, summary.Figures });
    }

    private async Task TakeAsync(World world, Step step)
    {
        if (step.What == What.AddChild)
        {
            await AddChildAsync(world);
            return;
        }
        await using var context = store.Db.ForJob("test", world.ProgrammeId);
        var childId = world.ChildIds[step.Child % world.ChildIds.Count];
        var child = await context.Children.SingleAsync(row => row.Id == childId, Ct);
        if (child.ClosedOn is not null)
        {
            return;
        }
        switch (step.What)
        {
            case What.Look:
                Look(context, world, child, step, Today);
                break;
            case What.LateLook:
                Look(context, world, child, step, Today.AddDays(-step.Offset));
                break;
            case What.Correct or What.Withdraw:
                await CorrectAsync(context, world, child, step);
                break;
            case What.Give or What.GiveLater or What.GiveBack:
                await GiveAsync(context, world, child, step);
                break;
            case What.Plan:
                Plan(context, world, child, step);
                break;
            default:
                child.ClosedOn = Today;
                child.ClosingReason = "moved away";
                await AssignmentBook.CloseAsync(context, child, Today, Ct);
                break;
        }
        await context.SaveChangesAsync(Ct);
    }

    private void Look(CaseloadDbContext context, World world, Child child, Step step, DateOnly on)
    {
        var item = _items[step.Pick % _items.Length];
        Response[] grades =
            item == "landau"
                ? [Response.Absent, Response.Partial, Response.Complete]
                : [Response.Absent, Response.Weak, Response.Typical, Response.Obligatory];
        var finding = new Finding(
            Guid.CreateVersion7(store.Time.GetUtcNow()),
            item,
            on,
            Side.Both,
            grades[step.Pick % grades.Length],
            BehaviouralState.QuietAlert
        );
        Add(context, world, child, finding);
    }

    private async Task CorrectAsync(CaseloadDbContext context, World world, Child child, Step step)
    {
        var standing = StandingFindings
            .Of(
                (await context.Findings.AsNoTracking().Where(row => row.ChildId == child.Id).ToListAsync(Ct)).ConvertAll(row =>
                    row.ToFinding()
                )
            )
            .OrderBy(finding => finding.Id)
            .ToList();
        if (standing.Count == 0)
        {
            return;
        }
        var old = standing[step.Pick % standing.Count];
        Add(
            context,
            world,
            child,
            old with
            {
                Id = Guid.CreateVersion7(store.Time.GetUtcNow()),
                Response = step.What == What.Withdraw ? null : Response.Absent,
                State = step.What == What.Withdraw ? null : old.State,
                Corrects = old.Id,
                CorrectionReason = "Typed into the wrong line",
                IsWithdrawal = step.What == What.Withdraw,
            }
        );
    }

    private void Add(CaseloadDbContext context, World world, Child child, Finding finding)
    {
        var at = store.Time.GetUtcNow();
        var visit = new Visit
        {
            ProgrammeId = world.ProgrammeId,
            Id = Guid.CreateVersion7(at),
            ChildId = child.Id,
            VisitedOn = finding.ObservedOn,
            StartedAt = at,
            FinishedAt = at,
        };
        context.AddRange(visit, RecordedFinding.From(finding, visit, at, null, "published@1"));
    }

    private async Task GiveAsync(CaseloadDbContext context, World world, Child child, Step step)
    {
        var days = step.What switch
        {
            What.Give => 0,
            What.GiveLater => step.Offset,
            _ => -step.Offset,
        };
        Guid? clinicianId = step.Pick % 4 == 0 ? null : world.ClinicianIds[step.Pick % world.ClinicianIds.Count];
        var wish = new AssignmentWish(Guid.CreateVersion7(store.Time.GetUtcNow()), clinicianId, Today.AddDays(days), null);
        // A refusal is as good: then nothing changed.
        await AssignmentBook.AssignAsync(context, child, wish, Today, Ct);
    }

    private void Plan(CaseloadDbContext context, World world, Child child, Step step)
    {
        var at = store.Time.GetUtcNow();
        var on = Today.AddDays(step.Offset + step.Pick);
        if (!world.Planned.Add((child.Id, on)))
        {
            return;
        }
        context.Add(
            new PlannedVisit
            {
                ProgrammeId = world.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                ChildId = child.Id,
                ClinicianId = world.ClinicianIds[0],
                PlannedOn = on,
                IsFixed = true,
                CreatedAt = at,
                ChangedAt = at,
            }
        );
    }

    private async Task AddChildAsync(World world)
    {
        await using var context = store.Db.ForJob("test", world.ProgrammeId);
        var bornOn = Today.AddDays(-190 - 40 * world.ChildIds.Count);
        var child = new Child
        {
            ProgrammeId = world.ProgrammeId,
            Id = Guid.CreateVersion7(store.Time.GetUtcNow()),
            Code = await ChildCodes.NextAsync(context, Ct),
            GivenName = "Given",
            FamilyName = "Family",
            BornOn = bornOn,
            GestationDays = 230,
            EnrolledOn = bornOn,
            CreatedAt = store.Time.GetUtcNow(),
            UpdatedAt = store.Time.GetUtcNow(),
        };
        context.Add(child);
        await context.SaveChangesAsync(Ct);
        world.ChildIds.Add(child.Id);
    }

    private async Task<List<Guid>> AddCliniciansAsync(Guid programmeId)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        var ids = new List<Guid> { StoreFixture.NewId(), StoreFixture.NewId(), StoreFixture.NewId() };
        context.AddRange(
            ids.Select(
                (id, index) =>
                    new Clinician
                    {
                        ProgrammeId = programmeId,
                        Id = id,
                        Name = $"Clinician {index}",
                        Initials = $"C{index}",
                        Discipline = Discipline.PhysicalTherapy,
                    }
            )
        );
        await context.SaveChangesAsync(Ct);
        return ids;
    }

    private sealed record World(Guid ProgrammeId, List<Guid> ClinicianIds)
    {
        internal List<Guid> ChildIds { get; } = [];
        internal HashSet<(Guid, DateOnly)> Planned { get; } = [];
    }
}
