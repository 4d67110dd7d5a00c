namespace Caseload.Web.Platform.Jobs;

/// <summary>Every job there is.</summary>
/// <param name="periodic">Jobs with periods.</param>
/// <param name="continuous">Jobs that look whether something waits.</param>
public sealed class JobList(IEnumerable<ProgrammeJob> periodic, IEnumerable<ContinuousJob> continuous)
{
    /// <summary>Jobs with periods, in the order of their titles.</summary>
    public IReadOnlyList<ProgrammeJob> Periodic { get; } = [.. periodic.OrderBy(job => job.Title, StringComparer.Ordinal)];

    /// <summary>Jobs that look whether something waits, in the order of their titles.</summary>
    public IReadOnlyList<ContinuousJob> Continuous { get; } = [.. continuous.OrderBy(job => job.Title, StringComparer.Ordinal)];

    /// <summary>The names of all, and how often each is asked.</summary>
    public IEnumerable<(string Name, TimeSpan AskedEvery)> Asked =>
        Periodic.Select(job => (job.Name, job.AskedEvery)).Concat(Continuous.Select(job => (job.Name, job.AskedEvery)));
}
