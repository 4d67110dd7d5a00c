using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Npgsql;

namespace Caseload.Data;

/// <summary>The only way to the store: hands out contexts that are bound to one programme and to whoever acts. One per process.</summary>
/// <remarks>A context is made, used and disposed within one call; it is pooled, so nothing may hold on to it.</remarks>
public sealed class CaseloadDb(DbContextOptions<CaseloadDbContext> options, TimeProvider time, ISavedListener? listener = null)
{
    private readonly PooledDbContextFactory<CaseloadDbContext> _contexts = new(options);

    /// <summary>Opens the store for a person and one use case. The person's rights are read anew, not taken from the actor.</summary>
    /// <param name="actor">Who acts.</param>
    /// <param name="permission">What the use case needs.</param>
    /// <param name="ct">Cancels.</param>
    /// <exception cref="SignInEndedException">The sign-in is over or the person was disabled.</exception>
    /// <exception cref="AccessDeniedException">No role of the person allows it; the attempt stands in the access record.</exception>
    public Task<CaseloadDbContext> EnterAsync(Actor actor, Permission permission, CancellationToken ct) =>
        OnceMoreAsync(() => EnterOnceAsync(actor, permission, ct));

    private async Task<CaseloadDbContext> EnterOnceAsync(Actor actor, Permission permission, CancellationToken ct)
    {
        var context = Open(StoreScope.Nothing);
        try
        {
            // Held open, so that the database is told once for whom it works.
            await context.HoldConnectionAsync(ct);
            var scope = await ReadScopeAsync(context, actor, ct) ?? throw new SignInEndedException();
            await context.EnterHeldAsync(scope, ct);
            if (!PermissionTable.Allows(scope.Roles, permission))
            {
                context.Record("denied", null, scope.At, new AccessDetail().With("permission", permission));
                await context.SaveChangesAsync(ct);
                throw new AccessDeniedException(permission);
            }
            return context;
        }
        catch
        {
            await context.DisposeAsync();
            throw;
        }
    }

    /// <summary>A context for a named job and one programme.</summary>
    public CaseloadDbContext ForJob(string jobName, Guid programmeId) =>
        Open(new StoreScope(StorePurpose.Job, programmeId, jobName, time.GetUtcNow()));

    /// <summary>A context for a person's own account while signing in or out: sees and writes that and nothing of any child.</summary>
    /// <param name="programmeId">The person's programme.</param>
    /// <param name="personId">The person.</param>
    /// <param name="name">The person's name.</param>
    /// <param name="address">The network address the person comes from.</param>
    /// <param name="signInId">The sign-in, when there is one already.</param>
    public CaseloadDbContext ForAccount(Guid programmeId, Guid personId, string name, string? address, Guid? signInId = null) =>
        Open(
            new StoreScope(StorePurpose.Account, programmeId, name, time.GetUtcNow())
            {
                PersonId = personId,
                Address = address,
                SignInId = signInId,
            }
        );

    /// <summary>A context that finds which person somebody is who is not signed in; it saves nothing.</summary>
    public CaseloadDbContext ForFindingPeople() => Open(new StoreScope(StorePurpose.FindPerson, Guid.Empty, "sign-in", time.GetUtcNow()));

    /// <summary>Every programme of the installation, by name; for jobs that run for each of them.</summary>
    public async Task<IReadOnlyList<ProgrammeRow>> ListProgrammesAsync(CancellationToken ct)
    {
        await using var context = Open(new StoreScope(StorePurpose.FindProgrammes, Guid.Empty, "setup", time.GetUtcNow()));
        return await context
            .Programmes.AsNoTracking()
            .OrderBy(programme => programme.Name)
            .Select(programme => new ProgrammeRow(programme.Id, programme.Name, programme.TimeZoneId, programme.AlertPolicy))
            .ToListAsync(ct);
    }

    /// <summary>Sets up a programme with the built-in reference sets, the newest of them active, and the default policy.</summary>
    public async Task CreateProgrammeAsync(Guid id, string name, string timeZoneId, DateTimeOffset at, CancellationToken ct)
    {
        await using var context = ForJob("setup", id);
        AddProgramme(context, name, timeZoneId, ReviewPolicy.Default, at);
        await context.SaveChangesAsync(ct);
    }

    /// <summary>Adds a programme and its first rows to a unit of work that was made for its id.</summary>
    public static Programme AddProgramme(CaseloadDbContext context, string name, string timeZoneId, ReviewPolicy policy, DateTimeOffset at)
    {
        var programme = new Programme
        {
            Id = context.ProgrammeId,
            Name = name,
            TimeZoneId = TimeZoneInfo.FindSystemTimeZoneById(timeZoneId).Id,
            Policy = policy,
            ActiveSetKey = ReferenceSets.Default.Key,
            CreatedAt = at,
        };
        context.Add(programme);
        context.AddRange(ReferenceSets.BuiltIn.Select(set => ReferenceSetVersion.From(programme.Id, set, context.Who)));
        context.Add(new ChildCodeCounter { ProgrammeId = programme.Id, LastNumber = 0 });
        context.Record("programme-created", null, at);
        return programme;
    }

    /// <summary>
    /// Connections that wait in the pool break when the server restarts, each unnoticed until it is used. The first to meet one throws them all away
    /// and begins anew, so that nobody has to ask twice once the server is back. Nothing was done yet at this point.
    /// </summary>
    private async Task<T> OnceMoreAsync<T>(Func<Task<T>> begin)
    {
        try
        {
            return await begin();
        }
        catch (NpgsqlException broken) when (broken.IsTransient)
        {
            await using var context = Open(StoreScope.Nothing);
            NpgsqlConnection.ClearPool((NpgsqlConnection)context.Database.GetDbConnection());
        }
        return await begin();
    }

    private CaseloadDbContext Open(StoreScope scope)
    {
        var context = _contexts.CreateDbContext();
        context.Enter(scope);
        context.Listener = listener;
        return context;
    }

    /// <summary>Who a person is under a sign-in that still holds; null when it does not.</summary>
    public Task<Actor?> FindActorAsync(Guid personId, Guid signInId, CancellationToken ct) =>
        OnceMoreAsync(() => FindActorOnceAsync(personId, signInId, ct));

    private async Task<Actor?> FindActorOnceAsync(Guid personId, Guid signInId, CancellationToken ct)
    {
        await using var context = Open(StoreScope.Nothing);
        await context.HoldConnectionAsync(ct);
        return await ReadRightsAsync(context, personId, signInId, time.GetUtcNow(), ct) is { } rights
            ? new Actor(
                rights.ProgrammeId,
                personId,
                signInId,
                rights.ClinicianId,
                rights.Name,
                rights.Roles,
                TimeZoneInfo.FindSystemTimeZoneById(rights.TimeZoneId)
            )
            : null;
    }

    private async Task<StoreScope?> ReadScopeAsync(CaseloadDbContext context, Actor actor, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        var rights = await ReadRightsAsync(context, actor.PersonId, actor.SignInId, at, ct);
        return rights is null || rights.ProgrammeId != actor.ProgrammeId
            ? null
            : new StoreScope(StorePurpose.Person, actor.ProgrammeId, rights.Name, at)
            {
                PersonId = actor.PersonId,
                SignInId = actor.SignInId,
                ClinicianId = rights.ClinicianId,
                Address = rights.Address,
                Roles = rights.Roles,
                ReachedChildIds = rights.ReachedChildIds,
            };
    }

    private static async Task<Rights?> ReadRightsAsync(
        CaseloadDbContext context,
        Guid personId,
        Guid signInId,
        DateTimeOffset at,
        CancellationToken ct
    )
    {
        await using var command = new NpgsqlCommand(
            "select programme_id, name, roles, clinician_id, address, time_zone, reach from caseload_rights($1, $2, $3)",
            (NpgsqlConnection)context.Database.GetDbConnection()
        )
        {
            Parameters =
            {
                new() { Value = personId },
                new() { Value = signInId },
                new() { Value = at.UtcDateTime },
            },
        };
        await using var rights = await command.ExecuteReaderAsync(ct);
        if (!await rights.ReadAsync(ct))
        {
            return null;
        }
        return new Rights(
            rights.GetGuid(0),
            rights.GetString(1),
            [.. rights.GetFieldValue<string[]>(2).Select(word => EnumWords.FromWord<Role>(word)!.Value)],
            await rights.IsDBNullAsync(3, ct) ? null : rights.GetGuid(3),
            rights.GetString(4),
            rights.GetString(5),
            rights.GetFieldValue<Guid[]>(6)
        );
    }

    private sealed record Rights(
        Guid ProgrammeId,
        string Name,
        IReadOnlyList<Role> Roles,
        Guid? ClinicianId,
        string Address,
        string TimeZoneId,
        Guid[] ReachedChildIds
    );
}

/// <summary>A programme in a list.</summary>
/// <param name="Id">The id.</param>
/// <param name="Name">The name.</param>
/// <param name="TimeZoneId">Its IANA time zone.</param>
/// <param name="AlertPolicy">Its numbers for alerts, the digest and mail.</param>
public sealed record ProgrammeRow(Guid Id, string Name, string TimeZoneId, AlertPolicy AlertPolicy)
{
    /// <summary>The day it is in the programme's zone.</summary>
    public DateOnly TodayOn(DateTimeOffset at) =>
        DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, TimeZoneInfo.FindSystemTimeZoneById(TimeZoneId)).DateTime);
}

/// <summary>Hears what was saved, so that open pages and waiting jobs look at once. A hint: losing it costs freshness only.</summary>
public interface ISavedListener
{
    /// <summary>Alerts of a programme were raised, answered or closed.</summary>
    void AlertsSaved(Guid programmeId);

    /// <summary>Messages of a programme wait to be sent.</summary>
    void MessagesSaved(Guid programmeId);
}
