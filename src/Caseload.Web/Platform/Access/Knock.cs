using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;

namespace Caseload.Web.Platform.Access;

/// <summary>One attempt of one person: a transaction that holds the person's row from the question to the answer.</summary>
internal sealed class Knock : IAsyncDisposable
{
    private readonly IDbContextTransaction _transaction;
    private readonly Visitor _visitor;
    private readonly DateTimeOffset _at;
    private readonly FailureThrottle _throttle;

    private Knock(
        CaseloadDbContext context,
        IDbContextTransaction transaction,
        Person person,
        AccessPolicy policy,
        Visitor visitor,
        DateTimeOffset at
    )
    {
        Context = context;
        _transaction = transaction;
        Person = person;
        Policy = policy;
        _visitor = visitor;
        _at = at;
        _throttle = FailureThrottle.Restore(person.FailureCount, person.LastFailureAt);
    }

    internal CaseloadDbContext Context { get; }

    internal Person Person { get; }

    internal AccessPolicy Policy { get; }

    /// <summary>Whether a right credential lets in: not disabled, not locked.</summary>
    internal bool IsOpen => Person.DisabledAt is null && _throttle.LockedUntil(_at) is null;

    /// <param name="db">The store.</param>
    /// <param name="key">The person.</param>
    /// <param name="visitor">Who stands there.</param>
    /// <param name="time">The clock.</param>
    /// <param name="ct">Cancels.</param>
    /// <param name="signInId">The sign-in, when the person is in and proves once more who they are.</param>
    internal static async Task<Knock> BeginAsync(
        CaseloadDb db,
        PersonKey key,
        Visitor visitor,
        TimeProvider time,
        CancellationToken ct,
        Guid? signInId = null
    )
    {
        var context = db.ForAccount(key.ProgrammeId, key.PersonId, await NameAsync(db, key, ct), visitor.Address, signInId);
        try
        {
            var transaction = await context.Database.BeginTransactionAsync(ct);
            var person = (
                await context.People.FromSql($"select *, xmin from people where id = {key.PersonId} for no key update").ToListAsync(ct)
            ).Single();
            var policy = await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct);
            return new Knock(context, transaction, person, policy, visitor, time.GetUtcNow());
        }
        catch
        {
            await context.DisposeAsync();
            throw;
        }
    }

    internal async Task<DoorAnswer> LetInAsync(SignInMethod method, CancellationToken ct)
    {
        Keep(_throttle.AfterSuccess(_at));
        var signIn = new SignIn
        {
            ProgrammeId = Person.ProgrammeId,
            Id = Guid.CreateVersion7(_at),
            PersonId = Person.Id,
            StartedAt = _at,
            LastSeenAt = _at,
            ExpiresAt = _at.AddHours(Policy.SignInHours),
            Method = method,
            Address = _visitor.Address,
            Device = _visitor.Device,
        };
        Context.Add(signIn);
        Context.Record("signed-in", null, _at, new AccessDetail().With("method", method).With("signIn", signIn.Id));
        await KeepAsync(ct);
        return new DoorAnswer.In(new SignInClaims(Person.Id, signIn.Id));
    }

    internal async Task<DoorAnswer> RefuseAsync(string what, CancellationToken ct, string record = "sign-in-failed")
    {
        Keep(_throttle.AfterFailure(_at));
        Context.Record(record, null, _at, new AccessDetail().WithKey("with", what).With("inARow", Person.FailureCount));
        await KeepAsync(ct);
        return new DoorAnswer.Refused();
    }

    internal async Task KeepAsync(CancellationToken ct)
    {
        await Context.SaveChangesAsync(ct);
        await _transaction.CommitAsync(ct);
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        await _transaction.DisposeAsync();
        await Context.DisposeAsync();
    }

    private void Keep(FailureThrottle throttle)
    {
        Person.FailureCount = throttle.InARow;
        Person.LastFailureAt = throttle.LastFailedAt;
    }

    private static async Task<string> NameAsync(CaseloadDb db, PersonKey key, CancellationToken ct)
    {
        await using var finding = db.ForFindingPeople();
        return await finding.People.Where(person => person.Id == key.PersonId).Select(person => person.Name).SingleAsync(ct);
    }
}
