using Caseload.Data.Access;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>What stands where a child is not: a tombstone for those who read the whole programme, else the same words for everything.</summary>
public partial class MissingChildPanel
{
    private TombstoneView? _tombstone;
    private bool _mayReach;

    /// <summary>The child that was asked for.</summary>
    [Parameter, EditorRequired]
    public Guid ChildId { get; set; }

    [Inject]
    private GetTombstoneHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private string ReasonText =>
        _tombstone!.Reason == DestructionReason.FamilyAsked ? "the family asked for it" : "the time for keeping it was over";

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() =>
        LoadAsync(async ct =>
        {
            var actor = await Actors.GetAsync(ct);
            _mayReach = actor.May(Permission.ReachByReason);
            _tombstone = await Handler.HandleAsync(actor, new GetTombstone(ChildId), ct);
            return true;
        });
}
