using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Matrix;

/// <summary>Every child against every item, in one table.</summary>
public partial class MatrixPage
{
    private MatrixView? _view;
    private Guid? _clinicianId;
    private string? _zone;
    private ItemState? _state;
    private AgeBand? _band;

    [Inject]
    private ListMatrixHandler Matrices { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private static IEnumerable<(string, string)> States =>
        Enum.GetValues<ItemState>().Select(state => (state.ToString(), Labels.Of(state)));

    private static IEnumerable<(string, string)> Bands => Enum.GetValues<AgeBand>().Select(band => (band.ToString(), AgeBands.Of(band)));

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                var request = new ListMatrix(_clinicianId, _zone, _state, _band);
                _view = await Matrices.HandleAsync(await Actors.GetAsync(ct), request, ct);
                return _view.Rows.Count > 0;
            },
            keepsShowing: true
        );

    private Task ChooseAsync(Action choose)
    {
        choose();
        return ReloadAsync();
    }

    private async Task PrintAsync() => await Browser.InvokeVoidAsync("print");
}
