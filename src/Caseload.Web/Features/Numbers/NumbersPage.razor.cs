using Caseload.Web.Platform;
using Caseload.Web.Platform.Numbers;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Numbers;

/// <summary>The programme's numbers.</summary>
public partial class NumbersPage
{
    private ProgrammeNumbers? _numbers;
    private string? _item;
    private GestationGroup? _group;

    [Inject]
    private GetNumbersHandler Numbers { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                var item = string.IsNullOrEmpty(_item) ? null : _item;
                _numbers = await Numbers.HandleAsync(await Actors.GetAsync(ct), new GetNumbers(item, _group), ct);
                return true;
            },
            keepsShowing: true
        );

    private Task ChooseAsync(Action choose)
    {
        choose();
        return ReloadAsync();
    }
}
