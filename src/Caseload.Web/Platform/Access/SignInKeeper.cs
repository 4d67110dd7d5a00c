using System.Collections.Concurrent;
using Caseload.Data;
using Caseload.Data.People;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Keeps sign-ins: notes that a person is active, ends a sign-in, and finds out why one no longer holds.</summary>
public sealed class SignInKeeper(CaseloadDb db, SignInSwitchboard switchboard, TimeProvider time)
{
    // A sign of life is written at most this often; the idle time is minutes.
    private static readonly TimeSpan _noteEvery = TimeSpan.FromSeconds(30);

    private readonly ConcurrentDictionary<Guid, DateTimeOffset> _notedAt = new();

    /// <summary>Who is signed in under a cookie, or null when the sign-in is over, which is then written down.</summary>
    public async Task<Actor?> FindAsync(SignInClaims claims, CancellationToken ct)
    {
        if (await db.FindActorAsync(claims.PersonId, claims.SignInId, ct) is { } actor)
        {
            return actor;
        }
        await EndStaleAsync(claims, ct);
        return null;
    }

    /// <summary>Notes that the person did something. A sign-in that is over stays over.</summary>
    public async Task NoteActivityAsync(SignInClaims claims, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        if (_notedAt.TryGetValue(claims.SignInId, out var last) && at - last < _noteEvery)
        {
            return;
        }
        _notedAt[claims.SignInId] = at;
        if (await db.FindActorAsync(claims.PersonId, claims.SignInId, ct) is not { } actor)
        {
            return;
        }
        await using var context = db.ForAccount(actor.ProgrammeId, actor.PersonId, actor.DisplayName, null, actor.SignInId);
        await context
            .SignIns.Where(row => row.Id == claims.SignInId && row.EndedAt == null)
            .ExecuteUpdateAsync(row => row.SetProperty(signIn => signIn.LastSeenAt, at), ct);
    }

    /// <summary>Ends a sign-in and every page that is open under it.</summary>
    public async Task EndAsync(SignInClaims claims, SignInEnd why, CancellationToken ct)
    {
        await using var finding = db.ForFindingPeople();
        var known = await finding
            .SignIns.Where(row => row.Id == claims.SignInId && row.PersonId == claims.PersonId && row.EndedAt == null)
            .Join(
                finding.People,
                row => row.PersonId,
                person => person.Id,
                (row, person) =>
                    new
                    {
                        row.ProgrammeId,
                        person.Name,
                        row.Address,
                    }
            )
            .SingleOrDefaultAsync(ct);
        if (known is not null)
        {
            var at = time.GetUtcNow();
            await using var context = db.ForAccount(known.ProgrammeId, claims.PersonId, known.Name, known.Address, claims.SignInId);
            var signIn = await context.SignIns.SingleAsync(row => row.Id == claims.SignInId, ct);
            signIn.EndedAt = at;
            signIn.EndedWhy = why;
            context.Record("signed-out", null, at, new Data.Access.AccessDetail().With("why", why));
            try
            {
                await context.SaveChangesAsync(ct);
            }
            catch (DbUpdateConcurrencyException)
            {
                // Ended or seen elsewhere at the same moment; if it is still open, the next look ends it.
            }
        }
        _notedAt.TryRemove(claims.SignInId, out _);
        switchboard.AnnounceEnded([claims.SignInId]);
    }

    private async Task EndStaleAsync(SignInClaims claims, CancellationToken ct)
    {
        await using var finding = db.ForFindingPeople();
        var expiresAt = await finding
            .SignIns.Where(row => row.Id == claims.SignInId && row.EndedAt == null)
            .Select(row => (DateTimeOffset?)row.ExpiresAt)
            .SingleOrDefaultAsync(ct);
        if (expiresAt is not null)
        {
            await EndAsync(claims, expiresAt <= time.GetUtcNow() ? SignInEnd.Expired : SignInEnd.Idle, ct);
        }
    }
}
