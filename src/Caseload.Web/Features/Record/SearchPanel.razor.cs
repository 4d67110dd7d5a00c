using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Record;

/// <summary>Searches the record, newest entries first.</summary>
public partial class SearchPanel
{
    private RecordFindings? _found;
    private Guid? _personId;
    private string _childCode = "";
    private AccessGroup? _group;
    private DateOnly? _fromOn;
    private DateOnly? _throughOn;
    private int _page;

    [Inject]
    private SearchRecordHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task SearchAsync()
    {
        _page = 0;
        return ReloadAsync();
    }

    private Task TurnAsync(int by)
    {
        _page += by;
        return ReloadAsync();
    }

    private Task ReloadAsync() => LoadAsync(FetchAsync, keepsShowing: _found is not null);

    private async Task<bool> FetchAsync(CancellationToken ct)
    {
        var request = new SearchRecord(_personId, _childCode, _group, _fromOn, _throughOn, _page);
        _found = await Handler.HandleAsync(await Actors.GetAsync(ct), request, ct);
        return _found.Rows.Count > 0;
    }

    private string? ProblemOf(string field) => _found?.Refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
