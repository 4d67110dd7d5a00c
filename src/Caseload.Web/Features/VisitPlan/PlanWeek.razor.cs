using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>A week of planned visits, by day.</summary>
public partial class PlanWeek
{
    private IReadOnlyList<PlannedVisitRow> _visits = [];

    /// <summary>The Monday.</summary>
    [Parameter, EditorRequired]
    public DateOnly MondayOn { get; set; }

    /// <summary>The plan.</summary>
    [Parameter, EditorRequired]
    public PlannedVisits Plan { get; set; } = default!;

    /// <summary>What was refused, by child.</summary>
    [Parameter, EditorRequired]
    public IReadOnlyDictionary<Guid, string> Problems { get; set; } = default!;

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Raised with a visit that shall be moved.</summary>
    [Parameter]
    public EventCallback<VisitMove> OnMove { get; set; }

    /// <summary>Raised with a visit that shall go.</summary>
    [Parameter]
    public EventCallback<Guid> OnRemove { get; set; }

    private string Id => $"week-{MondayOn:yyyyMMdd}";

    private IEnumerable<DateOnly> Days => _visits.Select(visit => visit.On).Distinct();

    /// <inheritdoc />
    protected override void OnParametersSet() =>
        _visits = [.. Plan.Visits.Where(visit => visit.On >= MondayOn && visit.On <= MondayOn.AddDays(6))];
}
