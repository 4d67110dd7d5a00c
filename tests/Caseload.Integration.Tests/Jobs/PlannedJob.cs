using Caseload.Data;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Jobs;
using Microsoft.Extensions.Logging.Abstractions;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>A job whose every answer a test plans.</summary>
internal sealed class PlannedJob(string name, Func<JobProgress, CancellationToken, Task<string>> plan) : ProgrammeJob
{
    public PlannedJob(string name, Func<JobProgress, string> run)
        : this(name, (progress, _) => Task.FromResult(run(progress))) { }

    public override string Name => name;

    public override string Title => $"Planned {name}";

    public override string Purpose => "Does what a test plans.";

    public override TimeSpan AskedEvery => Every;

    public TimeSpan Every { get; init; } = TimeSpan.FromSeconds(1);

    public Func<ProgrammeRow, DateTimeOffset, string?> Due { get; set; } = (_, _) => "first";

    public override string? DuePeriod(ProgrammeRow programme, DateTimeOffset at) => Due(programme, at);

    public override DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at) => at.AddHours(1);

    public override Task<string> RunAsync(JobProgress run, CancellationToken ct) => plan(run, ct);
}

/// <summary>Continuous work whose answers a test plans.</summary>
internal sealed class PlannedLook(string name, Func<ProgrammeRow, string?> run) : ContinuousJob
{
    public override string Name => name;

    public override string Title => $"Planned {name}";

    public override string Purpose => "Looks for what a test plans.";

    public override TimeSpan AskedEvery { get; } = TimeSpan.FromSeconds(1);

    public override Task<string?> RunAsync(ProgrammeRow programme, CancellationToken ct) => Task.FromResult(run(programme));
}

internal static class Keepers
{
    public static JobKeeper Of(CaseloadDb db, TimeProvider time, IEnumerable<ProgrammeJob> periodic, params ContinuousJob[] continuous) =>
        new(
            db,
            new JobList(periodic, continuous),
            new FailureLog(NullLogger<FailureLog>.Instance, time),
            time,
            NullLogger<JobKeeper>.Instance
        );
}
