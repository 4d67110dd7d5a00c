using Caseload.Domain.Reference;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>Every source that a figure of the set points to, and how it was seen.</summary>
public partial class SourcesPage
{
    private ReferenceView? _view;
    private IReadOnlyDictionary<string, int> _uses = new Dictionary<string, int>();
    private string _find = "";

    /// <summary>The version to show; the one in use when not given.</summary>
    [SupplyParameterFromQuery(Name = "set")]
    private string? SetKey { get; set; }

    /// <summary>What to look for first, so that other pages can point at one source.</summary>
    [SupplyParameterFromQuery(Name = "find")]
    private string? FindFirst { get; set; }

    [Inject]
    private FindReferenceSetHandler Sets { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private IEnumerable<ReferenceSource> Found =>
        _view!.Set.Sources.Where(source =>
            source.Key.Contains(_find.Trim(), StringComparison.OrdinalIgnoreCase)
            || source.Citation.Contains(_find.Trim(), StringComparison.OrdinalIgnoreCase)
        );

    private string CountText => $"{Found.Count()} sources shown";

    /// <inheritdoc />
    protected override Task OnParametersSetAsync()
    {
        _find = FindFirst ?? "";
        return ReloadAsync();
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _view = await Sets.HandleAsync(await Actors.GetAsync(ct), new FindReferenceSet(SetKey), ct);
            _uses = (_view?.Set.Items ?? []).SelectMany(item => item.Figures).CountBy(figure => figure.Source).ToDictionary();
            return _view is not null;
        });
}
