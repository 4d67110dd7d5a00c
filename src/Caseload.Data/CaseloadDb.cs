using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;

namespace Caseload.Data;

/// <summary>The only way to the store: hands out contexts that are bound to one programme. One per process.</summary>
/// <remarks>A context is made, used and disposed within one call; it is pooled, so nothing may hold on to it.</remarks>
public sealed class CaseloadDb(DbContextOptions<CaseloadDbContext> options)
{
    private readonly PooledDbContextFactory<CaseloadDbContext> _contexts = new(options);

    /// <summary>A context for a person.</summary>
    public CaseloadDbContext Create(Actor actor) => Enter(actor.ProgrammeId, actor.DisplayName, actor.ClinicianId, isSetup: false);

    /// <summary>A context for a named job and one programme.</summary>
    public CaseloadDbContext ForJob(string jobName, Guid programmeId) => Enter(programmeId, jobName, null, isSetup: false);

    /// <summary>A context that sees programmes, nothing they own, and can only add a new programme together with its first rows.</summary>
    public CaseloadDbContext ForSetup() => Enter(Guid.Empty, "setup", null, isSetup: true);

    /// <summary>Every programme of the installation, by name; for jobs that run for each of them.</summary>
    public async Task<IReadOnlyList<ProgrammeRow>> ListProgrammesAsync(CancellationToken ct)
    {
        await using var context = ForSetup();
        return await context
            .Programmes.AsNoTracking()
            .OrderBy(programme => programme.Name)
            .Select(programme => new ProgrammeRow(programme.Id, programme.Name, programme.TimeZoneId))
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
        context.RecordActivity("programme-created", null, at);
        return programme;
    }

    private CaseloadDbContext Enter(Guid programmeId, string who, Guid? clinicianId, bool isSetup)
    {
        var context = _contexts.CreateDbContext();
        context.Enter(programmeId, who, clinicianId, isSetup);
        return context;
    }
}

/// <summary>A programme in a list.</summary>
/// <param name="Id">The id.</param>
/// <param name="Name">The name.</param>
/// <param name="TimeZoneId">Its IANA time zone.</param>
public sealed record ProgrammeRow(Guid Id, string Name, string TimeZoneId);
