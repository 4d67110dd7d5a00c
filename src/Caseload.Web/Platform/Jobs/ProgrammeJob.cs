using Caseload.Data;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Work that is done once for a programme and a period, whichever process gets to it first.</summary>
/// <remarks>
/// The scheduler decides when a job is asked; the key of its run (programme, job, period) decides that a period is done once. A run whose process
/// died is taken over by another, so the work must bear being begun twice: it decides in the database, by unique keys, what is done already.
/// </remarks>
public abstract class ProgrammeJob
{
    /// <summary>The word in the database and the log, for example <c>weekly-digest</c>.</summary>
    public abstract string Name { get; }

    /// <summary>What the jobs page calls it.</summary>
    public abstract string Title { get; }

    /// <summary>What it does, in a sentence for the jobs page.</summary>
    public abstract string Purpose { get; }

    /// <summary>How often it is asked whether something is due.</summary>
    public abstract TimeSpan AskedEvery { get; }

    /// <summary>The newest period whose time has come; null when none has. Asking twice gives the same answer.</summary>
    /// <param name="programme">The programme, its zone and its settings.</param>
    /// <param name="at">Now.</param>
    public abstract string? DuePeriod(ProgrammeRow programme, DateTimeOffset at);

    /// <summary>When the next period becomes due, for the jobs page.</summary>
    public abstract DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at);

    /// <summary>Does the work of a period.</summary>
    /// <param name="run">The programme, the period, and where to tell progress.</param>
    /// <param name="ct">Cancels; the period stays undone.</param>
    /// <returns>What came of it, in a few words without names, for the jobs page.</returns>
    public abstract Task<string> RunAsync(JobProgress run, CancellationToken ct);
}

/// <summary>A run that is going on.</summary>
/// <param name="Programme">The programme.</param>
/// <param name="Period">The period.</param>
/// <param name="ReportAsync">Tells how much is done, of how much; also prolongs the hold on the period.</param>
public sealed record JobProgress(ProgrammeRow Programme, string Period, Func<int, int?, CancellationToken, Task> ReportAsync);
