using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Jobs;

/// <summary>Has a job run now.</summary>
/// <param name="Name">The job's word.</param>
public sealed record StartJob(string Name);

/// <summary>What became of the wish.</summary>
public enum StartJobOutcome
{
    /// <summary>It begins within seconds.</summary>
    Begins,

    /// <summary>It runs already, or waits to begin, or there is nothing yet to do it for.</summary>
    NotNow,

    /// <summary>There is no such job any more.</summary>
    Unknown,
}

/// <summary>Puts a run down for whichever process takes it, and nudges this one.</summary>
public sealed class StartJobHandler(CaseloadDb db, JobList jobs, JobKeeper keeper, JobSignal signal, TimeProvider time)
{
    /// <summary>Asks for the run.</summary>
    public async Task<StartJobOutcome> HandleAsync(Actor actor, StartJob request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.RunJobs, ct);
        if (!jobs.Asked.Any(asked => asked.Name == request.Name))
        {
            return StartJobOutcome.Unknown;
        }

        context.Record("job-requested", null, time.GetUtcNow(), new AccessDetail().WithKey("job", request.Name));
        await context.SaveChangesAsync(ct);
        var programme = await context
            .Programmes.AsNoTracking()
            .Select(row => new ProgrammeRow(row.Id, row.Name, row.TimeZoneId, row.AlertPolicy))
            .SingleAsync(ct);

        // A run belongs to the installation: only a job's own scope writes one.
        var job = jobs.Periodic.SingleOrDefault(candidate => candidate.Name == request.Name);
        if (job is not null && !await keeper.RequestAsync(job, programme, ct))
        {
            return StartJobOutcome.NotNow;
        }
        signal.Nudge(request.Name);
        return StartJobOutcome.Begins;
    }
}
