using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Record;

/// <summary>Closed records that the programme need not keep any longer.</summary>
public partial class OverdueRecordsPanel
{
    private OverdueRecords? _records;

    [Inject]
    private ListOverdueRecordsHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _records = await Handler.HandleAsync(await Actors.GetAsync(ct), new ListOverdueRecords(), ct);
            return true;
        });
}
