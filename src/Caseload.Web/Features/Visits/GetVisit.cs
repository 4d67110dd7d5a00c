using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Visits;

/// <summary>Asks for a visit.</summary>
/// <param name="VisitId">The visit.</param>
public sealed record GetVisit(Guid VisitId);

/// <summary>What stands at the top of a visit.</summary>
/// <param name="VisitId">The visit.</param>
/// <param name="ChildId">The child.</param>
/// <param name="Name">The child's name.</param>
/// <param name="Code">The child's code.</param>
/// <param name="VisitedOn">The visit's day.</param>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Ages">The child's ages on the visit's day.</param>
/// <param name="Exclusions">Conditions that hold on that day.</param>
/// <param name="Clinician">Who visits.</param>
public sealed record VisitHead(
    Guid VisitId,
    Guid ChildId,
    string Name,
    string Code,
    DateOnly VisitedOn,
    DateOnly TodayOn,
    ChildAges Ages,
    IReadOnlyList<Exclusion> Exclusions,
    string? Clinician
);

/// <summary>An item that may be checked at the visit.</summary>
/// <param name="Item">The item.</param>
/// <param name="Result">Where the child stands with it on the visit's day.</param>
/// <param name="Why">Why it is due; empty when it is not.</param>
/// <param name="IsOverdue">Whether its last day has gone by.</param>
/// <param name="RelatedTo">Names of recorded concerns it may be related to.</param>
/// <param name="RuledOutBy">The child's exclusion that rules it out, with the reason; null when none does.</param>
public sealed record VisitCheckRow(
    ReferenceItem Item,
    ItemResult Result,
    string Why,
    bool IsOverdue,
    IReadOnlyList<string> RelatedTo,
    string? RuledOutBy
);

/// <summary>An item that is due and not planned.</summary>
/// <param name="ItemId">The item.</param>
/// <param name="Because">The kind of reason.</param>
/// <param name="Text">The reason.</param>
public sealed record LeftOutRow(string ItemId, LeftOutBecause Because, string Text);

/// <summary>A visit that is being logged.</summary>
/// <param name="Checks">Every item of the set by id.</param>
/// <param name="Planned">Ids of the planned items in handling order.</param>
/// <param name="LeftOut">What is due and not planned.</param>
/// <param name="Form">The draft, or a blank form.</param>
/// <param name="DraftVersion">The draft's version; null when there is none.</param>
/// <param name="DraftAt">When the draft was last saved.</param>
/// <param name="Clinicians">Active clinicians, and the visit's own.</param>
public sealed record OpenVisitView(
    IReadOnlyDictionary<string, VisitCheckRow> Checks,
    IReadOnlyList<string> Planned,
    IReadOnlyList<LeftOutRow> LeftOut,
    VisitForm Form,
    uint? DraftVersion,
    DateTimeOffset? DraftAt,
    IReadOnlyList<ClinicianChoice> Clinicians
);

/// <summary>A finding of a finished visit.</summary>
/// <param name="Finding">The finding.</param>
/// <param name="Item">The item in the set it was recorded with.</param>
/// <param name="By">Who recorded it.</param>
/// <param name="At">When.</param>
/// <param name="CorrectedBecause">Why it no longer stands; null while it does.</param>
public sealed record VisitFindingRow(Finding Finding, ReferenceItem Item, string? By, DateTimeOffset At, string? CorrectedBecause)
{
    /// <summary>Whether it can be corrected: it stands and says something.</summary>
    public bool IsStanding => CorrectedBecause is null && !Finding.IsWithdrawal;
}

/// <summary>A visit that is finished.</summary>
/// <param name="FinishedAt">When.</param>
/// <param name="Place">Where it took place.</param>
/// <param name="Note">The note on it.</param>
/// <param name="Findings">Every finding, corrected ones directly before what replaces them.</param>
/// <param name="Report">What it changed.</param>
public sealed record FinishedVisitView(
    DateTimeOffset FinishedAt,
    string? Place,
    string? Note,
    IReadOnlyList<VisitFindingRow> Findings,
    VisitReport Report
);

/// <summary>A visit, open or finished.</summary>
/// <param name="Head">What stands at the top.</param>
/// <param name="Open">When it is being logged.</param>
/// <param name="Finished">When it is finished.</param>
public sealed record VisitView(VisitHead Head, OpenVisitView? Open, FinishedVisitView? Finished);

/// <summary>Gets visits.</summary>
public sealed class GetVisitHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The visit, or null when the programme has none with this id.</summary>
    public async Task<VisitView?> HandleAsync(Actor actor, GetVisit request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var visit = await context
            .Visits.AsNoTracking()
            .AsSingleQuery()
            .Include(row => row.Child!.Exclusions)
            .Include(row => row.Child!.Concerns)
            .Include(row => row.Clinician)
            .Include(row => row.Draft)
            .SingleOrDefaultAsync(row => row.Id == request.VisitId, ct);
        if (visit is null)
        {
            return null;
        }
        await context.RecordLookAsync("visit-opened", visit.ChildId, time.GetUtcNow(), ct, new AccessDetail().With("visit", visit.Id));
        var recorded = await context.Findings.AsNoTracking().Where(row => row.ChildId == visit.ChildId).ToListAsync(ct);
        var clinicians = await context.Clinicians.AsNoTracking().OrderBy(row => row.Name).ToListAsync(ct);
        var interpreter = await library.GetActiveAsync(context, ct);
        var ofVisit = recorded.Where(row => row.VisitId == visit.Id).ToList();
        if (ofVisit.Count > 0)
        {
            // A finished visit is told with the set it was recorded with, whatever has been published since.
            interpreter = await library.GetInterpreterAsync(context, ofVisit[0].SetKey, interpreter.Policy, ct);
        }

        var head = HeadOf(visit, interpreter, actor.TodayOn(time));
        return visit.FinishedAt is { } finishedAt
            ? new VisitView(head, null, FinishedOf(visit, finishedAt, recorded, ofVisit, clinicians, interpreter))
            : new VisitView(head, OpenOf(visit, recorded, clinicians, interpreter), null);
    }

    private static VisitHead HeadOf(Visit visit, Interpreter interpreter, DateOnly todayOn)
    {
        var child = visit.Child!;
        return new VisitHead(
            visit.Id,
            child.Id,
            $"{child.GivenName} {child.FamilyName}",
            child.Code,
            visit.VisitedOn,
            todayOn,
            ChildAges.Of(child.ToFacts().Birth, visit.VisitedOn, interpreter.Policy),
            [.. Holding(child, visit.VisitedOn).Select(row => row.Exclusion).Distinct()],
            visit.Clinician?.Name
        );
    }

    private static OpenVisitView OpenOf(Visit visit, List<RecordedFinding> recorded, List<Clinician> clinicians, Interpreter interpreter)
    {
        var child = visit.Child!;
        var findings = recorded.Select(row => row.ToFinding()).ToList();
        var results = interpreter.Interpret(child.ToFacts(), findings, visit.VisitedOn);
        var holding = Holding(child, visit.VisitedOn).ToList();
        var concerns = child
            .Concerns.Where(row => row.ResolvedOn is null || row.ResolvedOn > visit.VisitedOn)
            .Select(row => interpreter.Set.FindConcern(row.Concern))
            .OfType<FunctionalConcern>()
            .ToList();
        var plan = VisitPlanner.Plan(results, findings, holding, concerns, visit.VisitedOn, interpreter.Policy);
        var due = plan.Planned.Concat(plan.LeftOut.Select(row => row.Item)).ToDictionary(row => row.Item.Id);
        return new OpenVisitView(
            results.ToDictionary(result => result.Item.Id, result => RowOf(result, due.GetValueOrDefault(result.Item.Id), holding)),
            [.. plan.Planned.Select(row => row.Item.Id)],
            [.. plan.LeftOut.Select(row => new LeftOutRow(row.Item.Item.Id, row.Because, row.Text))],
            visit.Draft is { } draft ? VisitForm.Read(draft.Form) : new VisitForm { ClinicianId = visit.ClinicianId },
            visit.Draft?.RowVersion,
            visit.Draft?.UpdatedAt,
            [.. clinicians.Where(row => row.IsActive || row.Id == visit.ClinicianId).Select(row => new ClinicianChoice(row.Id, row.Name))]
        );
    }

    private static VisitCheckRow RowOf(ItemResult result, VisitItem? due, List<Domain.Visits.ChildExclusion> holding)
    {
        var excluded = result.Item.ExcludedBy.FirstOrDefault(rule => holding.Exists(row => row.Exclusion == rule.Exclusion));
        var why = due is null
            ? ""
            : DueText.Of(due.Purpose, result.State, result.Verdict.Step, result.SinceOn, result.ExpectedFromOn, result.UsualThroughOn);
        return new VisitCheckRow(
            result.Item,
            result,
            why,
            due?.IsOverdue ?? false,
            due?.RelatedTo ?? [],
            excluded is null ? null : $"{Labels.Of(excluded.Exclusion)}: {excluded.Why}"
        );
    }

    private static FinishedVisitView FinishedOf(
        Visit visit,
        DateTimeOffset finishedAt,
        List<RecordedFinding> recorded,
        List<RecordedFinding> ofVisit,
        List<Clinician> clinicians,
        Interpreter interpreter
    )
    {
        var corrections = ofVisit.Where(row => row.CorrectsId is not null).ToDictionary(row => row.CorrectsId!.Value);
        var names = clinicians.ToDictionary(row => row.Id, row => row.Name);
        var rows = new List<VisitFindingRow>();
        foreach (var first in ofVisit.Where(row => row.CorrectsId is null).OrderBy(row => row.Side))
        {
            for (var row = first; row is not null; row = corrections.GetValueOrDefault(row.Id))
            {
                if (interpreter.Set.Find(row.Item) is { } item)
                {
                    var by = row.RecordedById is { } id ? names.GetValueOrDefault(id) : null;
                    rows.Add(
                        new VisitFindingRow(
                            row.ToFinding(),
                            item,
                            by,
                            row.RecordedAt,
                            corrections.GetValueOrDefault(row.Id)?.CorrectionReason
                        )
                    );
                }
            }
        }
        return new FinishedVisitView(
            finishedAt,
            visit.Place,
            visit.Note,
            [.. rows.OrderBy(row => interpreter.Set.TryIndexOf(row.Item.Id, out var index) ? index : 0)],
            VisitReport.Of(
                interpreter,
                visit.Child!.ToFacts(),
                [.. recorded.Select(row => row.ToFinding())],
                ofVisit.Select(row => row.Id).ToHashSet(),
                visit.VisitedOn
            )
        );
    }

    private static IEnumerable<Domain.Visits.ChildExclusion> Holding(Child child, DateOnly on) =>
        child
            .Exclusions.Select(row => new Domain.Visits.ChildExclusion(row.Exclusion, row.FromOn, row.ThroughOn))
            .Where(row => row.HoldsOn(on));
}
