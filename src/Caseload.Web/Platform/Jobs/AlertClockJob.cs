using System.Globalization;
using Caseload.Data;
using Caseload.Data.Alerts;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Brings back alerts that were set aside, and tells the team leads of those that nobody answered in time.</summary>
public sealed class AlertClockJob(AlertClock clock, TimeProvider time) : ContinuousJob
{
    /// <inheritdoc />
    public override string Name => "alert-clock";

    /// <inheritdoc />
    public override string Title => "Unanswered alerts";

    /// <inheritdoc />
    public override string Purpose => "Brings back alerts that were set aside, and tells the team leads of those not answered in time.";

    /// <inheritdoc />
    public override TimeSpan AskedEvery => TimeSpan.FromMinutes(5);

    /// <inheritdoc />
    public override async Task<string?> RunAsync(ProgrammeRow programme, CancellationToken ct)
    {
        var counts = await clock.RunAsync(programme.Id, programme.TodayOn(time.GetUtcNow()), programme.AlertPolicy, ct);
        return counts == default
            ? null
            : string.Create(CultureInfo.InvariantCulture, $"{counts.CameBack} came back, {counts.Escalated} not answered in time");
    }
}
