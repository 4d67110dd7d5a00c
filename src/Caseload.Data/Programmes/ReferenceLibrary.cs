using System.Collections.Concurrent;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Programmes;

/// <summary>Reference sets and interpreters of every programme, read once per process: published sets never change.</summary>
public sealed class ReferenceLibrary
{
    private readonly ConcurrentDictionary<(Guid ProgrammeId, string Key), ReferenceSet> _sets = new();
    private readonly ConcurrentDictionary<(Guid ProgrammeId, string Key, ReviewPolicy Policy), Interpreter> _interpreters = new();

    /// <summary>The interpreter for the programme's active set and policy, unsaved changes of the unit of work included.</summary>
    public async Task<Interpreter> GetActiveAsync(CaseloadDbContext context, CancellationToken ct)
    {
        var active =
            context
                .ChangeTracker.Entries<Programme>()
                .Where(entry => entry.Entity.Id == context.ProgrammeId)
                .Select(entry => new ActiveReference(entry.Entity.ActiveSetKey, entry.Entity.Policy))
                .FirstOrDefault()
            ?? await context
                .Programmes.Where(programme => programme.Id == context.ProgrammeId)
                .Select(programme => new ActiveReference(programme.ActiveSetKey, programme.Policy))
                .SingleAsync(ct);
        return await GetInterpreterAsync(context, active.SetKey, active.Policy, ct);
    }

    /// <summary>The interpreter for a set and a policy of the context's programme.</summary>
    public async Task<Interpreter> GetInterpreterAsync(CaseloadDbContext context, string setKey, ReviewPolicy policy, CancellationToken ct)
    {
        var key = (context.ProgrammeId, setKey, policy);
        if (_interpreters.TryGetValue(key, out var known))
        {
            return known;
        }
        var interpreter = new Interpreter(await GetSetAsync(context, setKey, ct), policy);
        return MayKeep(context) ? _interpreters.GetOrAdd(key, interpreter) : interpreter;
    }

    /// <summary>A published set of the context's programme. Asking for a key that was never published is a bug and throws.</summary>
    public async Task<ReferenceSet> GetSetAsync(CaseloadDbContext context, string setKey, CancellationToken ct)
    {
        var key = (context.ProgrammeId, setKey);
        if (_sets.TryGetValue(key, out var known))
        {
            return known;
        }
        // A version that is only about to be saved is not kept: the save may fail.
        var unsaved = context
            .ChangeTracker.Entries<ReferenceSetVersion>()
            .FirstOrDefault(entry => entry.State == EntityState.Added && entry.Entity.Key == setKey);
        if (unsaved is not null)
        {
            return ReferenceSets.Read(unsaved.Entity.Content).Value;
        }
        var content = await context
            .ReferenceSetVersions.Where(version => version.Key == setKey)
            .Select(version => version.Content)
            .SingleAsync(ct);
        var set = ReferenceSets.Read(content).Value;
        return MayKeep(context) ? _sets.GetOrAdd(key, set) : set;
    }

    // Within a transaction the version may be one that is only about to be published, and the transaction may fail.
    private static bool MayKeep(CaseloadDbContext context) => context.Database.CurrentTransaction is null;

    private sealed record ActiveReference(string SetKey, ReviewPolicy Policy);
}
