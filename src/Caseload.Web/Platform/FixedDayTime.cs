namespace Caseload.Web.Platform;

/// <summary>A clock that starts in the middle of one day and goes on from there, for a demo that looks the same whenever it is shown.</summary>
public sealed class FixedDayTime(DateOnly todayOn) : TimeProvider
{
    private readonly long _startedAt = System.GetTimestamp();

    /// <inheritdoc />
    public override DateTimeOffset GetUtcNow() =>
        new DateTimeOffset(todayOn.ToDateTime(new TimeOnly(17, 0)), TimeSpan.Zero) + System.GetElapsedTime(_startedAt);
}
