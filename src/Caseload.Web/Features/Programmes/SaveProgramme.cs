using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks to save the programme's name and time zone.</summary>
/// <param name="RowVersion">The version that the person saw.</param>
/// <param name="Name">The name.</param>
/// <param name="TimeZoneId">The IANA time zone.</param>
public sealed record SaveProgramme(uint RowVersion, string Name, string TimeZoneId);

/// <summary>Saves the programme's name and time zone. In another zone today may be another day, so statuses are worked out anew.</summary>
public sealed class SaveProgrammeHandler(CaseloadDb db, StatusProjection statuses, TimeProvider time)
{
    /// <summary>Saves.</summary>
    public async Task<SaveOutcome> HandleAsync(Actor actor, SaveProgramme request, CancellationToken ct)
    {
        var name = request.Name.Trim();
        var refusals = new List<Refusal>();
        if (name.Length is 0 or > TextLimits.Name)
        {
            refusals.Add(new(nameof(request.Name), $"Give the programme a name of 1 to {TextLimits.Name} characters."));
        }
        if (!TimeZoneInfo.TryFindSystemTimeZoneById(request.TimeZoneId.Trim(), out var zone) || !zone.HasIanaId)
        {
            refusals.Add(new(nameof(request.TimeZoneId), "Choose a time zone from the list, for example Europe/Dublin."));
        }
        if (refusals.Count > 0)
        {
            return new SaveOutcome.Refused(refusals);
        }

        await using var context = await db.EnterAsync(actor, Permission.ChangeSettings, ct);
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        var programme = await context.Programmes.SingleAsync(ct);
        if (programme.RowVersion != request.RowVersion)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }
        var isZoneNew = programme.TimeZoneId != zone!.Id;

        programme.Name = name;
        programme.TimeZoneId = zone.Id;
        context.Record("programme-saved", null, time.GetUtcNow());
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }

        var todayOn = (actor with { TimeZone = zone }).TodayOn(time);
        var childCount = isZoneNew ? await statuses.RebuildAsync(context, todayOn, ct) : 0;
        await transaction.CommitAsync(ct);
        return new SaveOutcome.Done(programme.RowVersion, childCount);
    }
}
