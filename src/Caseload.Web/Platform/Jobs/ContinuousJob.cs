using Caseload.Data;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Work that has no period: it looks again and again whether something waits, and does that.</summary>
/// <remarks>
/// It may be at work in two processes at once, after a <see cref="JobSignal.Nudge"/> for example, so it claims in the database what it is about to
/// do. Only the last time that it had something to do, or failed, is kept.
/// </remarks>
public abstract class ContinuousJob
{
    /// <summary>The word in the database and the log, for example <c>mail</c>.</summary>
    public abstract string Name { get; }

    /// <summary>What the jobs page calls it.</summary>
    public abstract string Title { get; }

    /// <summary>What it does, in a sentence for the jobs page.</summary>
    public abstract string Purpose { get; }

    /// <summary>How often it looks, when nobody nudges it.</summary>
    public abstract TimeSpan AskedEvery { get; }

    /// <summary>Does what waits.</summary>
    /// <param name="programme">The programme, its zone and its settings.</param>
    /// <param name="ct">Cancels; what is not done yet is done the next time.</param>
    /// <returns>What came of it, in a few words without names, for the jobs page; null when nothing waited.</returns>
    public abstract Task<string?> RunAsync(ProgrammeRow programme, CancellationToken ct);
}
