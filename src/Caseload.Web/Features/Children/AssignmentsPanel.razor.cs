using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>Who has been responsible for the child, and since when.</summary>
public partial class AssignmentsPanel
{
    private IReadOnlyList<AssignmentRow> _rows = [];

    /// <summary>The child.</summary>
    [Parameter, EditorRequired]
    public Guid ChildId { get; set; }

    [Inject]
    private ListAssignmentsHandler Assignments { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _rows = await Assignments.HandleAsync(await Actors.GetAsync(ct), new ListAssignments(ChildId), ct);
            return _rows.Count > 0;
        });
}
