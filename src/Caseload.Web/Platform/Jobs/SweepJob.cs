using System.Globalization;
using Caseload.Data;
using Caseload.Data.Statuses;
using Caseload.Data.Team;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Takes what changes with the day: planned assignments that begin, statuses whose day has come, and the alerts that follow.</summary>
public sealed class SweepJob(AssignmentClock assignments, StatusProjection statuses, TimeProvider time) : ProgrammeJob
{
    private static readonly TimeOnly _hour = new(0, 5);

    /// <inheritdoc />
    public override string Name => "sweep";

    /// <inheritdoc />
    public override string Title => "Nightly sweep";

    /// <inheritdoc />
    public override string Purpose => "After midnight, brings every child whose day has come up to date, and raises and closes alerts.";

    /// <inheritdoc />
    public override TimeSpan AskedEvery => TimeSpan.FromMinutes(5);

    /// <inheritdoc />
    public override string? DuePeriod(ProgrammeRow programme, DateTimeOffset at) =>
        ProgrammeClock.LastOn(programme, _hour, at).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <inheritdoc />
    public override DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at) =>
        ProgrammeClock.At(programme, ProgrammeClock.LastOn(programme, _hour, at).AddDays(1), _hour);

    /// <inheritdoc />
    public override async Task<string> RunAsync(JobProgress run, CancellationToken ct)
    {
        var todayOn = run.Programme.TodayOn(time.GetUtcNow());
        await assignments.RunAsync(run.Programme.Id, todayOn, ct);
        var counts = await statuses.RefreshDueAsync(
            run.Programme.Id,
            todayOn,
            ct,
            (children, token) => run.ReportAsync(children, null, token)
        );
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{counts.Children} children looked at; alerts: {counts.Raised} raised, {counts.Changed} changed, {counts.Closed} closed"
        );
    }
}
