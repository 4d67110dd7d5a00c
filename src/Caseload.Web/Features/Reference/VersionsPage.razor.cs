using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>Every published version, and the way back to an earlier one.</summary>
public partial class VersionsPage
{
    private ReferenceView? _view;
    private IReadOnlyList<ReferenceVersionRow> _versions = [];
    private string? _problem;
    private string? _done;

    /// <summary>The version that was just published, to say so.</summary>
    [SupplyParameterFromQuery(Name = "published")]
    private string? Published { get; set; }

    [Inject]
    private FindReferenceSetHandler Sets { get; set; } = default!;

    [Inject]
    private ListReferenceVersionsHandler Versions { get; set; } = default!;

    [Inject]
    private ActivateReferenceSetHandler Activation { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        await ReloadAsync();
        if (Published is not null && Published == _view?.ActiveKey)
        {
            _done = $"{Published} is published and in use.";
        }
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            var actor = await Actors.GetAsync(ct);
            _view = await Sets.HandleAsync(actor, new FindReferenceSet(null), ct);
            _versions = await Versions.HandleAsync(actor, new ListReferenceVersions(), ct);
            return _versions.Count > 0;
        });

    private Task UseAsync(string key, ActivationReason reason) =>
        RunAsync(async ct =>
        {
            (_problem, _done) = (null, null);
            var request = new ActivateReferenceSet(key, _view!.ActiveKey, reason);
            switch (await Activation.HandleAsync(await Actors.GetAsync(ct), request, ct))
            {
                case ActivateReferenceSetOutcome.Done done:
                    await ReloadAsync();
                    _done =
                        $"{key} is in use. Statuses were worked out anew: {done.ChildCount} {(done.ChildCount == 1 ? "child" : "children")}.";
                    break;
                case ActivateReferenceSetOutcome.Refused refused:
                    _problem = refused.Message;
                    break;
            }
        });
}
