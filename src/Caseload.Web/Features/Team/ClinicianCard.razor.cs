using System.Globalization;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform.Team;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>One clinician: how full, what is due, and, when opened, the children.</summary>
public partial class ClinicianCard
{
    private IReadOnlyList<TeamChild> _children = [];
    private IReadOnlyList<TeamChild> _seen = [];
    private IReadOnlyList<TeamChild> _covered = [];

    /// <summary>The clinician.</summary>
    [Parameter, EditorRequired]
    public TeamClinician Clinician { get; set; } = default!;

    /// <summary>The team.</summary>
    [Parameter, EditorRequired]
    public TeamFacts Team { get; set; } = default!;

    /// <summary>Whether the children are shown.</summary>
    [Parameter]
    public bool IsOpen { get; set; }

    /// <summary>Whether a child is dragged and may be dropped here.</summary>
    [Parameter]
    public bool IsTarget { get; set; }

    /// <summary>Children chosen.</summary>
    [Parameter, EditorRequired]
    public IReadOnlySet<Guid> Chosen { get; set; } = default!;

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Raised when the children shall be shown or hidden.</summary>
    [Parameter]
    public EventCallback<Guid> OnOpen { get; set; }

    /// <summary>Raised when a child is chosen or no longer.</summary>
    [Parameter]
    public EventCallback<Guid> OnToggle { get; set; }

    /// <summary>Raised with the child that is dragged, and with null when it is let go.</summary>
    [Parameter]
    public EventCallback<Guid?> OnDrag { get; set; }

    /// <summary>Raised when a child is dropped here.</summary>
    [Parameter]
    public EventCallback<Guid> OnDrop { get; set; }

    /// <summary>Raised when limits were saved.</summary>
    [Parameter]
    public EventCallback OnSaved { get; set; }

    private string HeadId => $"clinician-{Clinician.Id}";

    private TeamLoad Load => TeamLoad.Of(Clinician, _seen, Team.Policy);

    private IEnumerable<IGrouping<Concern, Concern>> Severities =>
        _seen.SelectMany(child => child.Work.OpenAlerts).GroupBy(severity => severity).OrderByDescending(group => group.Key);

    private string LongestDays =>
        _seen.Count == 0
            ? "–"
            : string.Create(CultureInfo.InvariantCulture, $"{Team.TodayOn.DayNumber - _seen.Min(child => child.ContactOn).DayNumber} days");

    private int WithColleagues => _children.Count(child => child.SeenById != Clinician.Id);

    private string CountWords =>
        string.Create(CultureInfo.InvariantCulture, $"{_children.Count}{(Clinician.MostChildren is { } most ? $" of {most}" : "")}")
        + (_covered.Count > 0 ? string.Create(CultureInfo.InvariantCulture, $" + {_covered.Count} covered") : "")
        + (WithColleagues > 0 ? string.Create(CultureInfo.InvariantCulture, $", {WithColleagues} with colleagues") : "");

    /// <inheritdoc />
    protected override void OnParametersSet()
    {
        (_children, _seen) = ([.. Team.Of(Clinician.Id)], [.. Team.SeenBy(Clinician.Id)]);
        _covered = [.. _seen.Where(child => child.ClinicianId != Clinician.Id)];
    }
}
