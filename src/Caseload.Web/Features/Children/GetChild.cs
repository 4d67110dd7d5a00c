using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks for everything about a child.</summary>
/// <param name="ChildId">The child.</param>
public sealed record GetChild(Guid ChildId);

/// <summary>A visit in the child's list.</summary>
/// <param name="Id">The visit.</param>
/// <param name="VisitedOn">The day.</param>
/// <param name="Clinician">Who visited.</param>
/// <param name="FindingCount">How many findings it has.</param>
/// <param name="IsOpen">Whether it is not finished.</param>
public sealed record ChildVisitRow(Guid Id, DateOnly VisitedOn, string? Clinician, int FindingCount, bool IsOpen);

/// <summary>A condition of the child.</summary>
/// <param name="Id">The row.</param>
/// <param name="Exclusion">The condition.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day; null while it lasts.</param>
/// <param name="HoldsToday">Whether it holds today.</param>
public sealed record ChildExclusionRow(Guid Id, Exclusion Exclusion, DateOnly FromOn, DateOnly? ThroughOn, bool HoldsToday);

/// <summary>A functional concern of the child.</summary>
/// <param name="Id">The row.</param>
/// <param name="ConcernId">The concern in the reference set.</param>
/// <param name="Name">Its name.</param>
/// <param name="RecordedOn">When it was recorded.</param>
/// <param name="ResolvedOn">When it was resolved; null while it stands.</param>
/// <param name="ItemNames">Items that may be related.</param>
public sealed record ChildConcernRow(
    Guid Id,
    string ConcernId,
    string Name,
    DateOnly RecordedOn,
    DateOnly? ResolvedOn,
    IReadOnlyList<string> ItemNames
);

/// <summary>Everything about a child.</summary>
public sealed record ChildView
{
    /// <summary>The child.</summary>
    public required Guid Id { get; init; }

    /// <summary>Its code.</summary>
    public required string Code { get; init; }

    /// <summary>Its name.</summary>
    public required string Name { get; init; }

    /// <summary>Birth facts.</summary>
    public required BirthFacts Birth { get; init; }

    /// <summary>The day from which ages in months count.</summary>
    public required DateOnly AnchorOn { get; init; }

    /// <summary>The day the programme took the child on.</summary>
    public required DateOnly EnrolledOn { get; init; }

    /// <summary>The day the case was closed.</summary>
    public required DateOnly? ClosedOn { get; init; }

    /// <summary>Who is responsible.</summary>
    public required string? Clinician { get; init; }

    /// <summary>A note for colleagues.</summary>
    public required string? Note { get; init; }

    /// <summary>The day the view is of.</summary>
    public required DateOnly TodayOn { get; init; }

    /// <summary>The ages on that day.</summary>
    public required ChildAges Ages { get; init; }

    /// <summary>Every item.</summary>
    public required IReadOnlyList<ItemResult> Results { get; init; }

    /// <summary>The findings that stand.</summary>
    public required IReadOnlyList<Finding> Standing { get; init; }

    /// <summary>Visits, latest first.</summary>
    public required IReadOnlyList<ChildVisitRow> Visits { get; init; }

    /// <summary>Conditions.</summary>
    public required IReadOnlyList<ChildExclusionRow> Exclusions { get; init; }

    /// <summary>Concerns.</summary>
    public required IReadOnlyList<ChildConcernRow> Concerns { get; init; }

    /// <summary>The set in use.</summary>
    public required ReferenceSet Set { get; init; }

    /// <summary>The visit that is open, if any.</summary>
    public Guid? OpenVisitId => Visits.FirstOrDefault(visit => visit.IsOpen)?.Id;
}

/// <summary>Gets everything about a child; the results come from the findings, not from the projection.</summary>
public sealed class GetChildHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The child, or null when there is none.</summary>
    public async Task<ChildView?> HandleAsync(Actor actor, GetChild request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var interpreter = await library.GetActiveAsync(context, ct);
        var child = await context
            .Children.AsNoTracking()
            .AsSplitQuery()
            .Include(row => row.Clinician)
            .Include(row => row.Exclusions)
            .Include(row => row.Concerns)
            .Include(row => row.Visits)
                .ThenInclude(visit => visit.Clinician)
            .SingleOrDefaultAsync(row => row.Id == request.ChildId, ct);
        if (child is null)
        {
            return null;
        }
        await context.RecordLookAsync("child-opened", child.Id, time.GetUtcNow(), ct);
        var recorded = await context
            .Findings.AsNoTracking()
            .Where(row => row.ChildId == child.Id)
            .OrderBy(row => row.RecordedAt)
            .ToListAsync(ct);

        var facts = child.ToFacts();
        var findings = recorded.ConvertAll(row => row.ToFinding());
        var asOfOn = child.ClosedOn < todayOn ? child.ClosedOn.Value : todayOn;
        var findingCounts = recorded.CountBy(row => row.VisitId).ToDictionary();
        return new ChildView
        {
            Id = child.Id,
            Code = child.Code,
            Name = $"{child.GivenName} {child.FamilyName}",
            Birth = facts.Birth,
            AnchorOn = facts.Birth.AnchorOn(interpreter.Policy.CorrectBelowDays),
            EnrolledOn = child.EnrolledOn,
            ClosedOn = child.ClosedOn,
            Clinician = child.Clinician?.Name,
            Note = child.Note,
            TodayOn = asOfOn,
            Ages = ChildAges.Of(facts.Birth, asOfOn, interpreter.Policy),
            Results = interpreter.Interpret(facts, findings, asOfOn),
            Standing = [.. StandingFindings.Of(findings)],
            Visits =
            [
                .. child
                    .Visits.OrderByDescending(visit => visit.VisitedOn)
                    .ThenByDescending(visit => visit.StartedAt)
                    .Select(visit => new ChildVisitRow(
                        visit.Id,
                        visit.VisitedOn,
                        visit.Clinician?.Name,
                        findingCounts.GetValueOrDefault(visit.Id),
                        visit.FinishedAt is null
                    )),
            ],
            Exclusions =
            [
                .. child
                    .Exclusions.OrderBy(row => row.ThroughOn is not null)
                    .ThenBy(row => row.FromOn)
                    .Select(row => new ChildExclusionRow(
                        row.Id,
                        row.Exclusion,
                        row.FromOn,
                        row.ThroughOn,
                        row.ToExclusion().HoldsOn(todayOn)
                    )),
            ],
            Concerns =
            [
                .. child
                    .Concerns.OrderBy(row => row.ResolvedOn is not null)
                    .ThenBy(row => row.RecordedOn)
                    .Select(row => ConcernOf(row, interpreter.Set)),
            ],
            Set = interpreter.Set,
        };
    }

    private static ChildConcernRow ConcernOf(Data.Children.RecordedConcern row, ReferenceSet set)
    {
        var concern = set.FindConcern(row.Concern);
        return new ChildConcernRow(
            row.Id,
            row.Concern,
            concern?.Name ?? row.Concern,
            row.RecordedOn,
            row.ResolvedOn,
            [.. (concern?.Items ?? []).Select(id => set.Find(id)?.Name ?? id)]
        );
    }
}
