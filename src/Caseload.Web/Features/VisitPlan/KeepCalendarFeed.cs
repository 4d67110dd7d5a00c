using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Team;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.VisitCalendar;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>Makes the person's calendar address, a new one in place of an earlier one, or takes it back.</summary>
/// <param name="IsWanted">Whether there is to be one.</param>
public sealed record KeepCalendarFeed(bool IsWanted);

/// <summary>Asks whether the person has a calendar address.</summary>
public sealed record GetCalendarFeed;

/// <summary>A calendar address, which is shown once.</summary>
/// <param name="MadeAt">When it was made; null when there is none.</param>
/// <param name="LastReadAt">When a calendar program last read it.</param>
public sealed record CalendarFeedState(DateTimeOffset? MadeAt, DateTimeOffset? LastReadAt);

/// <summary>Tells whether there is a calendar address.</summary>
public sealed class GetCalendarFeedHandler(CaseloadDb db)
{
    /// <summary>The state.</summary>
    public async Task<CalendarFeedState> HandleAsync(Actor actor, GetCalendarFeed request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var feed = await context
            .CalendarFeeds.AsNoTracking()
            .SingleOrDefaultAsync(row => row.PersonId == actor.PersonId && row.RevokedAt == null, ct);
        return new CalendarFeedState(feed?.CreatedAt, feed?.LastReadAt);
    }
}

/// <summary>Makes and takes back calendar addresses.</summary>
public sealed class KeepCalendarFeedHandler(CaseloadDb db, PublicAddress address, TimeProvider time)
{
    /// <summary>The address, which is not kept and cannot be shown again; null when it was taken back.</summary>
    public async Task<string?> HandleAsync(Actor actor, KeepCalendarFeed request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var now = time.GetUtcNow();
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        await context
            .CalendarFeeds.Where(row => row.PersonId == actor.PersonId && row.RevokedAt == null)
            .ExecuteUpdateAsync(set => set.SetProperty(row => row.RevokedAt, now), ct);
        var secret = request.IsWanted ? CalendarFeeds.NewSecret() : null;
        if (secret is not null)
        {
            context.Add(
                new CalendarFeed
                {
                    ProgrammeId = actor.ProgrammeId,
                    Id = Guid.CreateVersion7(now),
                    PersonId = actor.PersonId,
                    SecretHash = CalendarFeeds.HashOf(secret),
                    CreatedAt = now,
                }
            );
        }
        context.Record(secret is null ? "calendar-address-revoked" : "calendar-address-made", null, now);
        await context.SaveChangesAsync(ct);
        await transaction.CommitAsync(ct);
        return secret is null ? null : new Uri(address.Uri, CalendarFeeds.Path + secret).ToString();
    }
}
