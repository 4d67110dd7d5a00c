using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Team;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Says that a child and a clinician are not to be brought together, or takes that back.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="ClinicianId">The clinician.</param>
/// <param name="Reason">Why; null to take it back.</param>
public sealed record SaveNeverPair(Guid ChildId, Guid ClinicianId, string? Reason);

/// <summary>Saves pairs that are never to be.</summary>
public sealed class SaveNeverPairHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SaveNeverPair request, CancellationToken ct)
    {
        if (request.Reason is not null && request.Reason.Trim().Length is 0 or > TextLimits.Line)
        {
            return [new Refusal("reason", $"Say in up to {TextLimits.Line} characters why they are not to be brought together.")];
        }
        await using var context = await db.EnterAsync(actor, Permission.AssignChildren, ct);
        var isKnown =
            await context.Children.AnyAsync(row => row.Id == request.ChildId, ct)
            && await context.Clinicians.AnyAsync(row => row.Id == request.ClinicianId, ct);
        if (!isKnown)
        {
            return [new Refusal("reason", "There is no such child or clinician.")];
        }
        var pair = await context.NeverPairs.SingleOrDefaultAsync(
            row => row.ChildId == request.ChildId && row.ClinicianId == request.ClinicianId,
            ct
        );
        if ((pair is null) == (request.Reason is null))
        {
            return [];
        }
        if (pair is not null)
        {
            context.Remove(pair);
        }
        else
        {
            context.Add(
                new NeverPair
                {
                    ProgrammeId = actor.ProgrammeId,
                    ChildId = request.ChildId,
                    ClinicianId = request.ClinicianId,
                    Reason = request.Reason!.Trim(),
                    Who = context.Who,
                    RecordedAt = context.At,
                }
            );
        }
        context.Record(
            pair is null ? "never-pair-added" : "never-pair-removed",
            request.ChildId,
            time.GetUtcNow(),
            new AccessDetail().With("clinician", request.ClinicianId)
        );
        await context.SaveChangesAsync(ct);
        return [];
    }
}
