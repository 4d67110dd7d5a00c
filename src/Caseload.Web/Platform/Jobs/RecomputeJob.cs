using System.Globalization;
using Caseload.Data;
using Caseload.Data.Statuses;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Works everything out anew once a week and compares: what is kept along must be what the findings say.</summary>
public sealed class RecomputeJob(StatusProjection statuses, TimeProvider time, ILogger<RecomputeJob> logger) : ProgrammeJob
{
    private static readonly TimeOnly _hour = new(3, 0);

    /// <inheritdoc />
    public override string Name => "recompute";

    /// <inheritdoc />
    public override string Title => "Weekly recompute";

    /// <inheritdoc />
    public override string Purpose =>
        "Every Sunday, works out all statuses and alerts from the findings and reports what differs. Nothing may.";

    /// <inheritdoc />
    public override TimeSpan AskedEvery => TimeSpan.FromMinutes(30);

    /// <inheritdoc />
    public override string? DuePeriod(ProgrammeRow programme, DateTimeOffset at) =>
        SundayOn(programme, at).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <inheritdoc />
    public override DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at) =>
        ProgrammeClock.At(programme, SundayOn(programme, at).AddDays(7), _hour);

    /// <inheritdoc />
    public override async Task<string> RunAsync(JobProgress run, CancellationToken ct)
    {
        var counts = await statuses.CompareAsync(
            run.Programme.Id,
            run.Programme.TodayOn(time.GetUtcNow()),
            (children, token) => run.ReportAsync(children, null, token),
            ct
        );
        if (!counts.IsClean)
        {
            logger.LogError(
                "Programme {ProgrammeId}: {RowDrift} status rows and {AlertDrift} alerts are not what the findings say",
                run.Programme.Id,
                counts.RowDrift,
                counts.AlertDrift
            );
        }
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{counts.Children} children, {counts.Rows} rows compared; drift: {counts.RowDrift} rows, {counts.AlertDrift} alerts"
        );
    }

    private static DateOnly SundayOn(ProgrammeRow programme, DateTimeOffset at)
    {
        var lastOn = ProgrammeClock.LastOn(programme, _hour, at);
        return lastOn.AddDays(-(int)lastOn.DayOfWeek);
    }
}
