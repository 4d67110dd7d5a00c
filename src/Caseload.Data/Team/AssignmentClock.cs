using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Team;

/// <summary>Gives children to the clinicians whose planned assignment begins.</summary>
public sealed class AssignmentClock(CaseloadDb db, StatusProjection statuses)
{
    private const string Job = "sweep";

    /// <summary>Takes what a day has brought, each child in a transaction of its own, so that a broken run goes on where it stopped.</summary>
    /// <param name="programmeId">The programme.</param>
    /// <param name="todayOn">Today in its zone.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>How many children have another clinician now.</returns>
    public async Task<int> RunAsync(Guid programmeId, DateOnly todayOn, CancellationToken ct)
    {
        await using var reading = db.ForJob(Job, programmeId);
        var childIds = await reading
            .Assignments.Where(row => row.EffectOn <= todayOn)
            .Select(row => row.ChildId)
            .Distinct()
            .OrderBy(id => id)
            .ToListAsync(ct);
        var count = 0;
        foreach (var childId in childIds)
        {
            count += await BeginAsync(programmeId, childId, todayOn, ct) ? 1 : 0;
        }
        return count;
    }

    private async Task<bool> BeginAsync(Guid programmeId, Guid childId, DateOnly todayOn, CancellationToken ct)
    {
        await using var context = db.ForJob(Job, programmeId);
        var child = await context.Children.SingleOrDefaultAsync(row => row.Id == childId, ct);
        var spans = await context.Assignments.Where(row => row.ChildId == childId).ToListAsync(ct);
        var begun = spans.Where(row => row.EffectOn <= todayOn).ToList();
        if (child is null || begun.Count == 0)
        {
            return false;
        }
        foreach (var span in begun)
        {
            span.EffectOn = null;
        }
        var clinicianId = spans.Find(row => row.FromOn <= todayOn && (row.ThroughOn is null || row.ThroughOn >= todayOn))?.ClinicianId;
        var isChanged = child.ClinicianId != clinicianId;
        if (isChanged)
        {
            child.ClinicianId = clinicianId;
            await statuses.RewriteAsync(context, childId, todayOn, ct);
            context.Record("assignment-began", childId, context.At, new AccessDetail().With("clinician", clinicianId));
        }
        await context.SaveChangesAsync(ct);
        return isChanged;
    }
}
