using Caseload.Data.Access;

namespace Caseload.Data;

/// <summary>Who acts, for which programme, and in which time zone; obtained once per page and passed as an argument.</summary>
/// <remarks>
/// The roles are what they were when the page asked, good enough to choose which buttons to show. What a person may do is read again from
/// the store whenever a use case opens it; see <see cref="CaseloadDb.EnterAsync"/>.
/// </remarks>
/// <param name="ProgrammeId">The programme everything is read from and written to.</param>
/// <param name="PersonId">The person.</param>
/// <param name="SignInId">The sign-in the person acts under.</param>
/// <param name="ClinicianId">The clinician, when the person is one.</param>
/// <param name="DisplayName">The name that the access record shows.</param>
/// <param name="Roles">The roles.</param>
/// <param name="TimeZone">The programme's time zone, in which "today" is meant.</param>
public sealed record Actor(
    Guid ProgrammeId,
    Guid PersonId,
    Guid SignInId,
    Guid? ClinicianId,
    string DisplayName,
    IReadOnlyList<Role> Roles,
    TimeZoneInfo TimeZone
)
{
    /// <summary>The programme's calendar day at this moment.</summary>
    public DateOnly TodayOn(TimeProvider clock) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(clock.GetUtcNow(), TimeZone).DateTime);

    /// <summary>Whether it makes sense to offer it; the store decides.</summary>
    public bool May(Permission permission) => PermissionTable.Allows(Roles, permission);
}
