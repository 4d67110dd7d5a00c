using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Assignment;

/// <summary>What of a child makes work.</summary>
/// <param name="Visits">Planned visits in four weeks; null for the programme's usual number.</param>
/// <param name="Zone">The travel zone of the home; null when it is not known.</param>
/// <param name="DueChecks">Checks due in the four weeks.</param>
/// <param name="OpenAlerts">Severities of the open alerts, one for each.</param>
public sealed record WorkloadOfChild(int? Visits, string? Zone, int DueChecks, IReadOnlyList<Concern> OpenAlerts);

/// <summary>A part of a load, so that a number can always be explained.</summary>
/// <param name="What">What it is for.</param>
/// <param name="Minutes">Minutes in four weeks.</param>
/// <param name="How">How it comes about, for example <c>2 visits × 60 min</c>.</param>
public sealed record WorkloadPart(WorkloadKind What, int Minutes, string How);

/// <summary>What a part of a load is for.</summary>
public enum WorkloadKind
{
    /// <summary>Visits in the home.</summary>
    Visits,

    /// <summary>Travel to them.</summary>
    Travel,

    /// <summary>Documentation after them.</summary>
    Documentation,

    /// <summary>Checks that are due.</summary>
    Checks,

    /// <summary>Open alerts.</summary>
    Alerts,

    /// <summary>Talks with family, physician and programme.</summary>
    Coordination,
}

/// <summary>The load of one child with one clinician, in minutes in four weeks: a plain sum of its parts.</summary>
public sealed class Workload
{
    private Workload(IReadOnlyList<WorkloadPart> parts)
    {
        Parts = parts;
        Minutes = parts.Sum(part => part.Minutes);
    }

    /// <summary>The parts, none with zero minutes.</summary>
    public IReadOnlyList<WorkloadPart> Parts { get; }

    /// <summary>Their sum.</summary>
    public int Minutes { get; }

    /// <summary>The load of a child with a clinician who works in some zones.</summary>
    /// <param name="child">What of the child makes work.</param>
    /// <param name="zones">The clinician's zones; with none, every zone counts as the clinician's own.</param>
    /// <param name="policy">The programme's minutes.</param>
    public static Workload Of(WorkloadOfChild child, IReadOnlyList<string> zones, WorkloadPolicy policy)
    {
        var visits = child.Visits ?? policy.VisitsInFourWeeks;
        var travel = IsNear(child.Zone, zones) ? policy.TravelMinutes : policy.FarTravelMinutes;
        var alerts = child.OpenAlerts.Sum(severity => AlertMinutes(severity, policy));
        WorkloadPart[] parts =
        [
            new(WorkloadKind.Visits, visits * policy.VisitMinutes, $"{visits} × {policy.VisitMinutes} min"),
            new(WorkloadKind.Travel, visits * travel, $"{visits} × {travel} min"),
            new(WorkloadKind.Documentation, visits * policy.DocumentationMinutes, $"{visits} × {policy.DocumentationMinutes} min"),
            new(WorkloadKind.Checks, child.DueChecks * policy.CheckMinutes, $"{child.DueChecks} × {policy.CheckMinutes} min"),
            new(WorkloadKind.Alerts, alerts, $"{child.OpenAlerts.Count} open, by severity"),
            new(WorkloadKind.Coordination, policy.CoordinationMinutes, "in four weeks"),
        ];
        return new Workload([.. parts.Where(part => part.Minutes > 0)]);
    }

    /// <summary>Whether a home lies where a clinician works; a zone that is not known counts as near.</summary>
    public static bool IsNear(string? zone, IReadOnlyList<string> zones) =>
        zone is null || zones.Count == 0 || zones.Contains(zone, StringComparer.OrdinalIgnoreCase);

    /// <summary>Minutes in four weeks that a clinician has for children.</summary>
    /// <param name="workingDays">Working days in a week, 0 to 7.</param>
    /// <param name="policy">The programme's minutes.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such number of days.</exception>
    public static int CapacityOf(int workingDays, WorkloadPolicy policy)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(workingDays);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(workingDays, 7);
        return 4 * workingDays * policy.DayMinutes * policy.DirectPercent / 100;
    }

    private static int AlertMinutes(Concern severity, WorkloadPolicy policy) =>
        severity switch
        {
            Concern.SameDay => policy.SameDayAlertMinutes,
            Concern.Act => policy.ActAlertMinutes,
            Concern.Advisory => policy.AdvisoryAlertMinutes,
            Concern.Watch => policy.WatchAlertMinutes,
            _ => 0,
        };
}
