namespace Caseload.Web.Platform;

/// <summary>A clock that stands in the middle of one day, for a demo that looks the same whenever it is shown.</summary>
public sealed class FixedDayTime(DateOnly todayOn) : TimeProvider
{
    /// <inheritdoc />
    public override DateTimeOffset GetUtcNow() => new(todayOn.ToDateTime(new TimeOnly(17, 0)), TimeSpan.Zero);
}
