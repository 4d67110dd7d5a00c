using Caseload.Data.Access;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>Who opened or changed the child's record. Asked for on demand, because asking stands in the access record as well.</summary>
public partial class WhoLookedPanel
{
    private const int FirstDays = 90;

    private LookList? _list;
    private bool _isOffered;
    private bool _isAsked;
    private int _days = FirstDays;

    /// <summary>The child.</summary>
    [Parameter, EditorRequired]
    public Guid ChildId { get; set; }

    [Inject]
    private ListLooksHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync() => _isOffered = (await Actors.GetAsync(Leaving)).May(Permission.SeeWhoLooked);

    private Task ShowAsync(int days)
    {
        (_days, _isAsked) = (days, true);
        return LoadAsync(
            async ct =>
            {
                _list = await Handler.HandleAsync(await Actors.GetAsync(ct), new ListLooks(ChildId, days), ct);
                return _list.Rows.Count > 0;
            },
            keepsShowing: _list is not null
        );
    }
}
