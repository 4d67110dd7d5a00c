using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>What a person sees of the own account.</summary>
/// <param name="Name">The name.</param>
/// <param name="SignInName">What the person types to sign in.</param>
/// <param name="Roles">The roles.</param>
/// <param name="HasPassword">Whether there is a password.</param>
/// <param name="HasAuthenticator">Whether an authenticator is paired.</param>
/// <param name="NeedsSecondFactor">Whether the programme asks for one.</param>
/// <param name="RecoveryCodesLeft">How many recovery codes are good.</param>
/// <param name="PasskeyCount">How many passkeys there are.</param>
/// <param name="SignIns">Open sign-ins, the present one first.</param>
public sealed record OwnAccountView(
    string Name,
    string SignInName,
    IReadOnlyList<Role> Roles,
    bool HasPassword,
    bool HasAuthenticator,
    bool NeedsSecondFactor,
    int RecoveryCodesLeft,
    int PasskeyCount,
    IReadOnlyList<OwnSignIn> SignIns
);

/// <summary>One open sign-in of the person.</summary>
/// <param name="Id">The id.</param>
/// <param name="Device">The kind of browser and device.</param>
/// <param name="Address">The network address.</param>
/// <param name="StartedAt">Since when, in the programme's time zone.</param>
/// <param name="LastSeenAt">When something was done last, in the programme's time zone.</param>
/// <param name="IsThisOne">Whether the person is looking through it.</param>
public sealed record OwnSignIn(Guid Id, string Device, string Address, DateTimeOffset StartedAt, DateTimeOffset LastSeenAt, bool IsThisOne);

/// <summary>A person's own account: what there is, and ending own sign-ins.</summary>
public sealed class OwnAccount(CaseloadDb db, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>The account.</summary>
    public async Task<OwnAccountView> GetAsync(Actor actor, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var person = await context.People.AsNoTracking().SingleAsync(row => row.Id == actor.PersonId, ct);
        var policy = await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct);
        var at = time.GetUtcNow();
        var idleFrom = at.AddMinutes(-policy.IdleMinutes);
        var signIns = await Open(context, actor)
            .AsNoTracking()
            .Where(row => row.ExpiresAt > at && row.LastSeenAt > idleFrom)
            .ToListAsync(ct);
        return new OwnAccountView(
            person.Name,
            person.SignInName,
            person.Roles,
            person.PasswordHash is not null,
            person.AuthenticatorSecret is not null,
            policy.NeedsSecondFactor(person.Roles),
            await context.RecoveryCodes.CountAsync(row => row.PersonId == actor.PersonId && row.UsedAt == null, ct),
            await context.PersonPasskeys.CountAsync(row => row.PersonId == actor.PersonId, ct),
            [
                .. signIns
                    .Select(row => new OwnSignIn(
                        row.Id,
                        row.Device,
                        row.Address,
                        TimeZoneInfo.ConvertTime(row.StartedAt, actor.TimeZone),
                        TimeZoneInfo.ConvertTime(row.LastSeenAt, actor.TimeZone),
                        row.Id == actor.SignInId
                    ))
                    .OrderByDescending(row => row.IsThisOne)
                    .ThenByDescending(row => row.LastSeenAt),
            ]
        );
    }

    /// <summary>Ends one of the person's own sign-ins; anybody else's is left alone.</summary>
    public Task<int> EndAsync(Actor actor, Guid signInId, CancellationToken ct) =>
        EndAsync(actor, rows => rows.Where(row => row.Id == signInId), ct);

    /// <summary>Ends every sign-in of the person but the present one.</summary>
    public Task<int> EndOthersAsync(Actor actor, CancellationToken ct) =>
        EndAsync(actor, rows => rows.Where(row => row.Id != actor.SignInId), ct);

    /// <summary>Marks as ended, in a unit of work, whatever sign-ins the person has besides one.</summary>
    /// <returns>Their ids, to be announced once the work is saved.</returns>
    internal static Task<List<Guid>> EndOthersAsync(
        CaseloadDbContext context,
        Actor actor,
        SignInEnd why,
        DateTimeOffset at,
        CancellationToken ct
    ) => EndAsync(Open(context, actor).Where(row => row.Id != actor.SignInId), why, at, ct);

    private async Task<int> EndAsync(Actor actor, Func<IQueryable<SignIn>, IQueryable<SignIn>> which, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        var at = time.GetUtcNow();
        var ended = await EndAsync(which(Open(context, actor)), SignInEnd.EndedByPerson, at, ct);
        if (ended.Count > 0)
        {
            context.Record("sign-ins-ended", null, at, new AccessDetail().WithAll("signIns", ended));
            await context.SaveChangesAsync(ct);
            await transaction.CommitAsync(ct);
        }
        switchboard.AnnounceEnded(ended);
        return ended.Count;
    }

    // Set-based: the rows change at any moment by the person's being active, and that must not keep them open.
    private static async Task<List<Guid>> EndAsync(IQueryable<SignIn> rows, SignInEnd why, DateTimeOffset at, CancellationToken ct)
    {
        var ids = await rows.Select(row => row.Id).ToListAsync(ct);
        await rows.Where(row => ids.Contains(row.Id))
            .ExecuteUpdateAsync(row => row.SetProperty(signIn => signIn.EndedAt, at).SetProperty(signIn => signIn.EndedWhy, why), ct);
        return ids;
    }

    private static IQueryable<SignIn> Open(CaseloadDbContext context, Actor actor) =>
        context.SignIns.Where(row => row.PersonId == actor.PersonId && row.EndedAt == null);
}
