namespace Caseload.Optimiser;

/// <summary>How long a search may take.</summary>
/// <param name="Seconds">Seconds by the clock for all stages together.</param>
/// <param name="Effort">
/// Deterministic time for each stage, in the solver's own units, roughly seconds: with the same effort and no shortage of clock time, the same
/// question gets the same answer.
/// </param>
/// <param name="Candidates">How many clinicians are tried for each child besides the present one; fewer make large teams tractable.</param>
public sealed record SearchLimits(double Seconds, double Effort, int Candidates)
{
    /// <summary>For a person who waits.</summary>
    public static SearchLimits Default { get; } = new(10, 2, 6);
}

/// <summary>How far a search has come.</summary>
/// <param name="Stage">The stage, from 1.</param>
/// <param name="StageCount">How many there are.</param>
/// <param name="What">What the stage looks for, in words.</param>
public sealed record SearchProgress(int Stage, int StageCount, string What);

/// <summary>How good the answer of a search is known to be.</summary>
/// <param name="IsProvedBest">Whether no better answer exists, by the order of the score.</param>
/// <param name="Fullest">Load of the fullest clinician in thousandths.</param>
/// <param name="LeastFullest">What that load cannot be below, whoever sees whom.</param>
/// <param name="WasStopped">Whether the person stopped the search.</param>
public sealed record SearchQuality(bool IsProvedBest, long Fullest, long LeastFullest, bool WasStopped)
{
    /// <summary>By how many per cent the fullest clinician's load is above what it cannot be below.</summary>
    public double GapPercent => Fullest == 0 ? 0 : 100.0 * (Fullest - LeastFullest) / Fullest;
}
