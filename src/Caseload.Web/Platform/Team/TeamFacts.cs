using Caseload.Data.Programmes;
using Caseload.Domain.Assignment;
using Caseload.Domain.Interpretation;

namespace Caseload.Web.Platform.Team;

/// <summary>A child as the team lead's desk shows it.</summary>
/// <param name="Id">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">Its name.</param>
/// <param name="ClinicianId">Who is responsible today; null for nobody.</param>
/// <param name="SeenById">Who sees the child today: a colleague who covers, else who is responsible; null for nobody.</param>
/// <param name="ReferredOn">The day of the referral, or, when that is not known, the day the programme took the child on.</param>
/// <param name="WaitsSinceOn">Since when the child is without a clinician: the end of the last assignment, before the first the referral.</param>
/// <param name="Language">The language the family needs, as a BCP 47 tag; null for the programme's own.</param>
/// <param name="NeededDiscipline">The discipline the child needs; null for any.</param>
/// <param name="Work">What of the child makes work.</param>
/// <param name="DueThisWeek">Checks due by Sunday, those overdue included.</param>
/// <param name="DueNextWeek">Checks due in the week after.</param>
/// <param name="ContactOn">The last visit, or, before the first, the day the programme took the child on.</param>
/// <param name="WithClinicianSinceOn">Since when the child is with the clinician; null without one.</param>
/// <param name="Next">Who takes over later, when that is planned.</param>
/// <param name="NeverWith">Clinicians whom the child is not to be brought together with.</param>
public sealed record TeamChild(
    Guid Id,
    string Code,
    string Name,
    Guid? ClinicianId,
    Guid? SeenById,
    DateOnly ReferredOn,
    DateOnly WaitsSinceOn,
    string? Language,
    Discipline? NeededDiscipline,
    WorkloadOfChild Work,
    int DueThisWeek,
    int DueNextWeek,
    DateOnly ContactOn,
    DateOnly? WithClinicianSinceOn,
    PlannedAssignment? Next,
    IReadOnlyList<Guid> NeverWith
)
{
    /// <summary>The most severe open alert; null when there is none.</summary>
    public Concern? Worst => Work.OpenAlerts.Count == 0 ? null : Work.OpenAlerts.Max();

    /// <summary>The load with a clinician, or, with none, as if every zone were near.</summary>
    public Workload LoadWith(TeamClinician? clinician, WorkloadPolicy policy) => Workload.Of(Work, clinician?.Zones ?? [], policy);
}

/// <summary>An assignment that begins later.</summary>
/// <param name="ClinicianId">Who takes over; null when nobody does.</param>
/// <param name="FromOn">First day.</param>
public sealed record PlannedAssignment(Guid? ClinicianId, DateOnly FromOn);

/// <summary>A clinician as the team lead's desk shows them.</summary>
/// <param name="Id">The clinician.</param>
/// <param name="Name">The name.</param>
/// <param name="Discipline">The discipline.</param>
/// <param name="Languages">Languages besides the programme's, as BCP 47 tags.</param>
/// <param name="Zones">Travel zones, the home zone first; none when all are alike.</param>
/// <param name="MostChildren">How many children at most; null without a limit.</param>
/// <param name="WorkingDays">Working days in a week.</param>
/// <param name="CapacityMinutes">Minutes for children in four weeks.</param>
/// <param name="AwayThroughOn">Away today, through this day; null when here.</param>
/// <param name="RowVersion">The version of what can be changed here.</param>
public sealed record TeamClinician(
    Guid Id,
    string Name,
    Discipline Discipline,
    IReadOnlyList<string> Languages,
    IReadOnlyList<string> Zones,
    int? MostChildren,
    int WorkingDays,
    int CapacityMinutes,
    DateOnly? AwayThroughOn,
    uint RowVersion
);

/// <summary>How full a clinician is.</summary>
/// <param name="Minutes">Minutes in four weeks that the children need.</param>
/// <param name="CapacityMinutes">Minutes there are.</param>
public sealed record TeamLoad(int Minutes, int CapacityMinutes)
{
    /// <summary>Per cent of the capacity, rounded; null when there is no capacity.</summary>
    public int? Percent => CapacityMinutes == 0 ? null : (int)Math.Round(100.0 * Minutes / CapacityMinutes);

    /// <summary>The load of some children with a clinician.</summary>
    public static TeamLoad Of(TeamClinician clinician, IEnumerable<TeamChild> children, WorkloadPolicy policy) =>
        new(children.Sum(child => child.LoadWith(clinician, policy).Minutes), clinician.CapacityMinutes);
}

/// <summary>The whole team on a day.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Policy">The programme's minutes.</param>
/// <param name="Clinicians">Clinicians who work here, by name.</param>
/// <param name="Children">Open cases, by code.</param>
public sealed record TeamFacts(
    DateOnly TodayOn,
    WorkloadPolicy Policy,
    IReadOnlyList<TeamClinician> Clinicians,
    IReadOnlyList<TeamChild> Children
)
{
    /// <summary>Children without a clinician, the oldest referral first.</summary>
    public IEnumerable<TeamChild> Waiting =>
        Children
            .Where(child => child.ClinicianId is null)
            .OrderBy(child => child.ReferredOn)
            .ThenBy(child => child.Code, StringComparer.Ordinal);

    /// <summary>The children a clinician sees today: the own ones that no colleague covers, and those of colleagues that the clinician covers.</summary>
    public IEnumerable<TeamChild> SeenBy(Guid clinicianId) => Children.Where(child => child.SeenById == clinicianId);

    /// <summary>A clinician's children.</summary>
    public IEnumerable<TeamChild> Of(Guid clinicianId) => Children.Where(child => child.ClinicianId == clinicianId);
}
