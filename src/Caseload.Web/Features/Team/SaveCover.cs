using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Adds a cover.</summary>
/// <param name="Id">The id, made by the page.</param>
/// <param name="Form">What was entered.</param>
public sealed record SaveCover(Guid Id, CoverForm Form);

/// <summary>Adds covers: from the first day through the last, one clinician reaches another's children.</summary>
public sealed class SaveCoverHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved. A second tap finds the first one done.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SaveCover request, CancellationToken ct)
    {
        var form = request.Form;
        var refusals = form.Check(actor.TodayOn(time));
        if (refusals.Count > 0)
        {
            return refusals;
        }
        var (absentId, coveringId) = (form.AbsentClinicianId!.Value, form.IsShared ? null : form.CoveringClinicianId);
        var (fromOn, throughOn) = (form.FromOn!.Value, form.ThroughOn!.Value);

        await using var context = await db.EnterAsync(actor, Permission.ArrangeCover, ct);
        await CoverLocks.LockAsync(context, ct);
        if (await context.Covers.AnyAsync(row => row.Id == request.Id, ct))
        {
            return [];
        }
        var activeIds = await context.Clinicians.Where(row => row.IsActive).Select(row => row.Id).ToListAsync(ct);
        var meanwhile = await context
            .Covers.AsNoTracking()
            .Where(row => row.FromOn <= throughOn && row.ThroughOn >= fromOn)
            .OrderBy(row => row.FromOn)
            .ToListAsync(ct);
        refusals = RefusalsOf(absentId, coveringId, activeIds, meanwhile);
        if (refusals.Count > 0)
        {
            return refusals;
        }

        context.Add(
            new Cover
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.Id,
                AbsentClinicianId = absentId,
                CoveringClinicianId = coveringId,
                FromOn = fromOn,
                ThroughOn = throughOn,
            }
        );
        context.Record(
            "cover-arranged",
            null,
            time.GetUtcNow(),
            new AccessDetail()
                .With("cover", request.Id)
                .With("absent", absentId)
                .With("covering", coveringId)
                .With("from", fromOn)
                .With("through", throughOn)
        );
        await context.SaveChangesAsync(ct);
        return [];
    }

    private static List<Refusal> RefusalsOf(Guid absentId, Guid? coveringId, IReadOnlyCollection<Guid> activeIds, List<Cover> meanwhile)
    {
        var refusals = new List<Refusal>();
        if (!activeIds.Contains(absentId))
        {
            refusals.Add(new Refusal("absent", "This clinician no longer works here. Give the children to a colleague instead."));
        }
        else if (meanwhile.Find(row => row.AbsentClinicianId == absentId) is { } same)
        {
            refusals.Add(new Refusal("absent", $"Already covered {Span(same)}. End that cover first, or choose other days."));
        }
        else if (meanwhile.Find(row => row.CoveringClinicianId == absentId) is { } covers)
        {
            refusals.Add(new Refusal("absent", $"Covers a colleague {Span(covers)}. Find somebody else for that cover first."));
        }
        if (coveringId is { } id && !activeIds.Contains(id))
        {
            refusals.Add(new Refusal("covering", "This clinician no longer works here. Choose another."));
        }
        else if (coveringId is not null && meanwhile.Find(row => row.AbsentClinicianId == coveringId) is { } away)
        {
            refusals.Add(new Refusal("covering", $"Is away {Span(away)}. Choose another, or other days."));
        }
        return refusals;
    }

    private static string Span(Cover cover) =>
        string.Create(CultureInfo.InvariantCulture, $"from {cover.FromOn:d MMM yyyy} through {cover.ThroughOn:d MMM yyyy}");
}
