using Caseload.Domain.Reference;
using Caseload.Domain.Wording;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>From a functional concern to the items that may be related to it.</summary>
public partial class ConcernsPage
{
    private ReferenceView? _view;

    /// <summary>The version to show; the one in use when not given.</summary>
    [SupplyParameterFromQuery(Name = "set")]
    private string? SetKey { get; set; }

    [Inject]
    private FindReferenceSetHandler Sets { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _view = await Sets.HandleAsync(await Actors.GetAsync(ct), new FindReferenceSet(SetKey), ct);
            return _view is not null;
        });

    private static string SourceName(string key) => key == ReferenceSetRules.CommonPractice ? Labels.Of(Certainty.Practice) : key;
}
