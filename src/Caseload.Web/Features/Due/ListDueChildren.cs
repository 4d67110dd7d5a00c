using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Ages;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Due;

/// <summary>Asks what the coming days need.</summary>
/// <param name="DaysAhead">How many days are looked ahead.</param>
/// <param name="ClinicianId">One clinician's children; null for all.</param>
public sealed record ListDueChildren(int DaysAhead, Guid? ClinicianId);

/// <summary>One check that is due.</summary>
/// <param name="ItemName">The item.</param>
/// <param name="Purpose">What the check is for.</param>
/// <param name="ThroughOn">By when.</param>
/// <param name="IsOverdue">Whether that has gone by.</param>
/// <param name="Concern">How much attention the state asks for.</param>
/// <param name="State">Where the child stands.</param>
/// <param name="Why">Why it is due, in one line.</param>
public sealed record DueLine(
    string ItemName,
    CheckPurpose Purpose,
    DateOnly ThroughOn,
    bool IsOverdue,
    Concern Concern,
    ItemState State,
    string Why
);

/// <summary>A child with something due.</summary>
/// <param name="Id">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">Its name.</param>
/// <param name="Age">The age to put first.</param>
/// <param name="Clinician">Who is responsible.</param>
/// <param name="VisitByOn">The day by which a visit is needed.</param>
/// <param name="IsOverdue">Whether that day has gone by.</param>
/// <param name="OpenVisitId">A visit that was started and not finished.</param>
/// <param name="Lines">What is due, most urgent first.</param>
/// <param name="ExcludedCount">How many due items a condition of the child rules out.</param>
public sealed record DueChildRow(
    Guid Id,
    string Code,
    string Name,
    string Age,
    string? Clinician,
    DateOnly VisitByOn,
    bool IsOverdue,
    Guid? OpenVisitId,
    IReadOnlyList<DueLine> Lines,
    int ExcludedCount
)
{
    /// <summary>The most urgent state among what is due.</summary>
    public Concern Worst => Lines.Max(line => line.Concern);
}

/// <summary>What the coming days need.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Children">Children with something due, overdue first, then by day.</param>
/// <param name="Clinicians">Clinicians to filter by.</param>
/// <param name="ChildCount">How many open children there are in all.</param>
public sealed record DueList(
    DateOnly TodayOn,
    IReadOnlyList<DueChildRow> Children,
    IReadOnlyList<ClinicianChoice> Clinicians,
    int ChildCount
);

/// <summary>Lists what the coming days need.</summary>
public sealed class ListDueChildrenHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The list.</summary>
    public async Task<DueList> HandleAsync(Actor actor, ListDueChildren request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);

        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var throughOn = todayOn.AddDays(request.DaysAhead);
        var interpreter = await library.GetActiveAsync(context, ct);
        var children = await context
            .Children.AsNoTracking()
            .AsSplitQuery()
            .Where(child => child.ClosedOn == null && (request.ClinicianId == null || child.ClinicianId == request.ClinicianId))
            .Select(child => new
            {
                child.Id,
                child.Code,
                child.GivenName,
                child.FamilyName,
                child.BornOn,
                child.GestationDays,
                Clinician = child.Clinician == null ? null : child.Clinician.Name,
                OpenVisitId = child.Visits.Where(visit => visit.FinishedAt == null).Select(visit => (Guid?)visit.Id).FirstOrDefault(),
                Exclusions = child
                    .Exclusions.Where(row => row.FromOn <= todayOn && (row.ThroughOn == null || row.ThroughOn >= todayOn))
                    .Select(row => row.Exclusion)
                    .ToList(),
                Statuses = child.Statuses.Where(row => row.CheckFromOn <= throughOn).ToList(),
            })
            .ToListAsync(ct);
        var clinicians = await context.ListClinicianChoicesAsync(ct);

        var rows = new List<DueChildRow>();
        foreach (var child in children)
        {
            var lines = child
                .Statuses.Select(row => (Row: row, Item: interpreter.Set.Find(row.Item)))
                .Where(pair => pair.Item is not null)
                .ToLookup(pair => DueRule.IsRuledOut(pair.Item!, child.Exclusions));
            var due = lines[false]
                .Select(pair => LineOf(pair.Row, pair.Item!, todayOn))
                .OrderByDescending(line => line.Concern)
                .ThenBy(line => line.ThroughOn)
                .ToList();
            if (due.Count == 0)
            {
                continue;
            }
            var ages = ChildAges.Of(BirthFacts.Restore(child.BornOn, child.GestationDays), todayOn, interpreter.Policy);
            var visitByOn = due.Min(line => line.ThroughOn);
            rows.Add(
                new DueChildRow(
                    child.Id,
                    child.Code,
                    $"{child.GivenName} {child.FamilyName}",
                    Dates.Leading(ages),
                    child.Clinician,
                    visitByOn,
                    DueRule.IsOverdue(visitByOn, todayOn),
                    child.OpenVisitId,
                    due,
                    lines[true].Count()
                )
            );
        }
        await context.RecordLookAsync(
            "due-listed",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", rows.Select(row => row.Id))
        );
        return new DueList(
            todayOn,
            [.. rows.OrderBy(row => row.VisitByOn).ThenBy(row => row.Name, StringComparer.Ordinal)],
            clinicians,
            children.Count
        );
    }

    private static DueLine LineOf(ItemStatus row, ReferenceItem item, DateOnly todayOn) =>
        new(
            item.Name,
            row.CheckPurpose,
            row.CheckThroughOn!.Value,
            DueRule.IsOverdue(row.CheckThroughOn, todayOn),
            row.Concern,
            row.State,
            DueText.Of(row.CheckPurpose, row.State, row.Step, row.SinceOn, row.ExpectedFromOn, row.UsualThroughOn)
        );
}
