using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Reference;

/// <summary>Asks what a set that is not published yet would change for the children.</summary>
/// <param name="Candidate">The set.</param>
public sealed record PreviewReferenceSet(ReferenceSet Candidate);

/// <summary>Statuses of one item that would change alike.</summary>
/// <param name="Item">The item's name.</param>
/// <param name="From">The state now.</param>
/// <param name="To">The state with the new figures.</param>
/// <param name="Count">How many children.</param>
public sealed record StatusChangeRow(string Item, string From, string To, int Count);

/// <summary>What would change.</summary>
/// <param name="OpenChildCount">How many open children were looked at.</param>
/// <param name="ChangedChildCount">How many of them would have another status in at least one item.</param>
/// <param name="Changes">The changes, most frequent first.</param>
public sealed record ReferencePreview(int OpenChildCount, int ChangedChildCount, IReadOnlyList<StatusChangeRow> Changes);

/// <summary>Interprets every open child with the set in use and with the candidate. Saves nothing.</summary>
public sealed class PreviewReferenceSetHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>What would change today.</summary>
    public async Task<ReferencePreview> HandleAsync(Actor actor, PreviewReferenceSet request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ChangeReference, ct);
        var present = await library.GetActiveAsync(context, ct);
        var children = await context.Children.AsNoTracking().Where(child => child.ClosedOn == null).ToListAsync(ct);
        var findings = (
            await context
                .Findings.AsNoTracking()
                .Where(finding => context.Children.Any(child => child.Id == finding.ChildId && child.ClosedOn == null))
                .ToListAsync(ct)
        ).ToLookup(finding => finding.ChildId, finding => finding.ToFinding());

        var candidate = new Interpreter(request.Candidate, present.Policy);
        var changes = children
            .SelectMany(child =>
                StatusProjection
                    .Compute(child, [.. findings[child.Id]], present, todayOn)
                    .Join(
                        StatusProjection.Compute(child, [.. findings[child.Id]], candidate, todayOn),
                        old => old.Item,
                        fresh => fresh.Item,
                        (old, fresh) => (child.Id, old.Item, From: WordsOf(old), To: WordsOf(fresh))
                    )
            )
            .Where(change => change.From != change.To)
            .ToList();

        return new ReferencePreview(
            children.Count,
            changes.Select(change => change.Id).Distinct().Count(),
            [
                .. changes
                    .GroupBy(change => (change.Item, change.From, change.To))
                    .Select(group => new StatusChangeRow(
                        request.Candidate.Find(group.Key.Item)!.Name,
                        group.Key.From,
                        group.Key.To,
                        group.Count()
                    ))
                    .OrderByDescending(row => row.Count)
                    .ThenBy(row => row.Item, StringComparer.Ordinal),
            ]
        );
    }

    private static string WordsOf(ItemStatus status) => Labels.Of(status.State, status.Step, status.IsConfirmed);
}
