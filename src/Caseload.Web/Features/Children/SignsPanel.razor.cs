using Caseload.Domain;
using Caseload.Domain.Wording;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>Signs of the urgent list: recorded and settled at once, with what to do now.</summary>
public partial class SignsPanel
{
    private SignList? _list;
    private SignForm? _form;
    private IReadOnlyList<Refusal> _refusals = [];
    private string? _said;

    /// <summary>The child.</summary>
    [Parameter, EditorRequired]
    public Guid ChildId { get; set; }

    /// <summary>Whether it stands on the page of a visit, whose other entries are saved when the visit is finished.</summary>
    [Parameter]
    public bool IsBesideAVisit { get; set; }

    [Inject]
    private ListSignsHandler List { get; set; } = default!;

    [Inject]
    private RecordSignHandler Recording { get; set; } = default!;

    [Inject]
    private SettleSignHandler Settling { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    private IEnumerable<ChildSignRow> Standing => _list?.Rows.Where(row => row.SettledOn is null) ?? [];

    private List<ChildSignRow> Settled => [.. _list?.Rows.Where(row => row.SettledOn is not null) ?? []];

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(ct);
            return _list is not null;
        });

    private async Task FetchAsync(CancellationToken ct) =>
        _list = await List.HandleAsync(await Actors.GetAsync(ct), new ListSigns(ChildId), ct);

    private void Begin()
    {
        _form = new SignForm(Guid.CreateVersion7(Time.GetUtcNow()), _list!.TodayOn);
        (_refusals, _said) = ([], null);
    }

    private Task RecordAsync() =>
        RunAsync(async ct =>
        {
            var form = _form!;
            var command = new RecordSign(ChildId, form.Id, form.Sign, form.SeenOn, form.Note);
            _refusals = await Recording.HandleAsync(await Actors.GetAsync(ct), command, ct);
            if (_refusals.Count == 0)
            {
                _form = null;
                _said = $"Recorded: {AlertText.Of(form.Sign!.Value)}. What to do now stands beside it.";
                await FetchAsync(ct);
            }
        });

    private Task SettleAsync(ChildSignRow row) =>
        RunAsync(async ct =>
        {
            await Settling.HandleAsync(await Actors.GetAsync(ct), new SettleSign(ChildId, row.Id), ct);
            _said = $"Settled: {AlertText.Of(row.Sign)}.";
            await FetchAsync(ct);
        });
}
