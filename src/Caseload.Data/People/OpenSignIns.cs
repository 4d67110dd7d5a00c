using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.People;

/// <summary>Ends what a person is signed in with, within the unit of work of whatever makes it necessary.</summary>
public static class OpenSignIns
{
    /// <summary>Ends every open sign-in of a person and changes the stamp, so that nothing that was given out before counts any more.</summary>
    /// <returns>The sign-ins that end with the save; pages that run under them are told after it.</returns>
    public static async Task<IReadOnlyList<Guid>> EndAllAsync(
        CaseloadDbContext context,
        Person person,
        SignInEnd why,
        DateTimeOffset at,
        CancellationToken ct
    )
    {
        person.SecurityStamp = Person.NewStamp();
        return End(await LockOpenAsync(context, person, ct), why, at);
    }

    /// <summary>Ends one open sign-in of a person; the list is empty when it was over already.</summary>
    public static async Task<IReadOnlyList<Guid>> EndAsync(
        CaseloadDbContext context,
        Person person,
        Guid signInId,
        SignInEnd why,
        DateTimeOffset at,
        CancellationToken ct
    )
    {
        var open = await LockOpenAsync(context, person, ct);
        return End(open.Where(signIn => signIn.Id == signInId), why, at);
    }

    /// <summary>Closes every invitation of a person that is still good.</summary>
    public static async Task CloseInvitationsAsync(CaseloadDbContext context, Guid personId, DateTimeOffset at, CancellationToken ct)
    {
        foreach (var open in await context.Invitations.Where(row => row.PersonId == personId && row.ClosedAt == null).ToListAsync(ct))
        {
            open.ClosedAt = at;
        }
    }

    // Locked, because a person at work touches the row every half minute, and ending must not lose against that.
    private static async Task<List<SignIn>> LockOpenAsync(CaseloadDbContext context, Person person, CancellationToken ct)
    {
        await context.HoldTransactionAsync(ct);
        return await context
            .SignIns.FromSql(
                $"""
                select *, xmin from sign_ins where programme_id = {context.ProgrammeId} and person_id = {person.Id} and ended_at is null
                for update
                """
            )
            .ToListAsync(ct);
    }

    private static List<Guid> End(IEnumerable<SignIn> signIns, SignInEnd why, DateTimeOffset at)
    {
        var ended = new List<Guid>();
        foreach (var signIn in signIns)
        {
            (signIn.EndedAt, signIn.EndedWhy) = (at, why);
            ended.Add(signIn.Id);
        }
        return ended;
    }
}
