using System.Globalization;
using Caseload.Domain.Assignment;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform.Team;

namespace Caseload.Web.Features.Team;

/// <summary>The team lead's desk in words.</summary>
public static class TeamWords
{
    /// <summary>"1 child", "3 children".</summary>
    public static string Children(int count) =>
        count == 1 ? "1 child" : string.Create(CultureInfo.InvariantCulture, $"{count:N0} children");

    /// <summary>Minutes as hours: "27.5 h".</summary>
    public static string Hours(int minutes) => string.Create(CultureInfo.InvariantCulture, $"{minutes / 60.0:0.#} h");

    /// <summary>"96 %", or that there is no working time.</summary>
    public static string Percent(TeamLoad load) =>
        load.Percent is { } percent ? string.Create(CultureInfo.InvariantCulture, $"{percent} %") : "no working time";

    /// <summary>What a part of a load is for.</summary>
    public static string Of(WorkloadKind kind) =>
        kind switch
        {
            WorkloadKind.Visits => "Visits",
            WorkloadKind.Travel => "Travel",
            WorkloadKind.Documentation => "Documentation",
            WorkloadKind.Checks => "Due checks",
            WorkloadKind.Alerts => "Open alerts",
            WorkloadKind.Coordination => "Coordination",
            _ => throw new ArgumentOutOfRangeException(nameof(kind)),
        };

    /// <summary>What a severity is called in a count: "2 to act on".</summary>
    public static string Of(Concern severity) =>
        severity switch
        {
            Concern.SameDay => "same day",
            Concern.Act => "act",
            Concern.Advisory => "advisory",
            Concern.Watch => "watch",
            _ => "none",
        };
}
