using Caseload.Data.Access;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>The list of children: searched, filtered and sorted by the database.</summary>
public partial class ChildrenPage
{
    private static readonly Column[] Columns =
    [
        new("Child", ChildSort.Name, null),
        new("Age", ChildSort.Age, null),
        new("Worst status", ChildSort.Concern, null),
        new("Next check", ChildSort.NextCheck, null),
        new("Clinician", null, "wide-only"),
    ];

    private ChildList? _page;
    private string _search = "";
    private Guid? _clinicianId;
    private bool _includesClosed;
    private ChildSort _sort = ChildSort.Concern;
    private bool _isReversed;
    private int _pageIndex;
    private int _searches;

    [Inject]
    private ListChildrenHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    private bool IsFiltered => _search.Length > 0 || _clinicianId is not null;

    private int PageCount => Math.Max(1, (_page!.TotalCount + ListChildrenHandler.PageSize - 1) / ListChildrenHandler.PageSize);

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() => LoadAsync(FetchAsync, keepsShowing: _page is not null);

    private ListChildren Request => new(_search, _clinicianId, _includesClosed, _sort, _isReversed, _pageIndex);

    private async Task<bool> FetchAsync(CancellationToken ct)
    {
        var search = ++_searches;
        var page = await Handler.HandleAsync(await Actors.GetAsync(ct), Request, ct);
        // Answers may overtake each other; only the one that was asked for last is shown.
        _page = search == _searches ? page : _page ?? page;
        return _page.Rows.Count > 0;
    }

    private async Task SearchAsync(string? text)
    {
        _search = text ?? "";
        _pageIndex = 0;
        var search = ++_searches;
        await Task.Delay(TimeSpan.FromMilliseconds(250), Time, Leaving).ContinueWith(_ => { }, TaskScheduler.Current);
        if (search == _searches && !Leaving.IsCancellationRequested)
        {
            await ReloadAsync();
        }
    }

    private Task FilterAsync(ChangeEventArgs change)
    {
        _clinicianId = Guid.TryParse(change.Value as string, out var id) ? id : null;
        _pageIndex = 0;
        return ReloadAsync();
    }

    private Task ToggleClosedAsync(ChangeEventArgs change)
    {
        _includesClosed = change.Value is true;
        _pageIndex = 0;
        return ReloadAsync();
    }

    private Task SortAsync(ChildSort sort)
    {
        _isReversed = _sort == sort && !_isReversed;
        _sort = sort;
        _pageIndex = 0;
        return ReloadAsync();
    }

    private Task TurnAsync(int by)
    {
        _pageIndex += by;
        return ReloadAsync();
    }

    private string ArrowOf(ChildSort sort) =>
        _sort != sort ? ""
        : _isReversed ? "▲"
        : "▼";

    private string? SortOf(Column column) =>
        column.Sort is not { } sort ? null
        : _sort != sort ? "none"
        : _isReversed ? "descending"
        : "ascending";

    private sealed record Column(string Text, ChildSort? Sort, string? Class);
}
