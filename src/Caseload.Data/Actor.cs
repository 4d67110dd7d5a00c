namespace Caseload.Data;

/// <summary>Who acts, for which programme, and in which time zone; obtained once per page and passed as an argument.</summary>
/// <param name="ProgrammeId">The programme everything is read from and written to.</param>
/// <param name="ClinicianId">The clinician, when the person is one.</param>
/// <param name="DisplayName">The name that the activity list shows.</param>
/// <param name="TimeZone">The programme's time zone, in which "today" is meant.</param>
public sealed record Actor(Guid ProgrammeId, Guid? ClinicianId, string DisplayName, TimeZoneInfo TimeZone)
{
    /// <summary>The programme's calendar day at this moment.</summary>
    public DateOnly TodayOn(TimeProvider clock) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(clock.GetUtcNow(), TimeZone).DateTime);
}
