using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Families;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Family;

/// <summary>The page for a child's family: proposed, edited, kept, and made for paper.</summary>
public partial class FamilyPageView
{
    private readonly FamilyForm _form = new();
    private FamilyView? _view;
    private IReadOnlyList<Refusal> _refusals = [];
    private string? _saved;

    /// <summary>The child.</summary>
    [Parameter]
    public Guid ChildId { get; set; }

    [Inject]
    private GetFamilyPageHandler Pages { get; set; } = default!;

    [Inject]
    private KeepFamilyPageHandler Keeper { get; set; } = default!;

    [Inject]
    private ExportFamilyPageHandler Exports { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(null, ct);
            if (_view is not null)
            {
                _form.Take(_view.Language, _view.Parts, _view.Contact);
            }
            return _view is not null;
        });

    private async Task FetchAsync(string? language, CancellationToken ct) =>
        _view = await Pages.HandleAsync(await Actors.GetAsync(ct), new GetFamilyPage(ChildId, language), ct);

    private Task TakeLanguageAsync(string tag) =>
        RunAsync(async ct =>
        {
            await FetchAsync(tag, ct);
            if (_view is not null)
            {
                _form.Take(tag, _view.Parts, _form.Contact.Length > 0 ? _form.Contact : _view.Contact);
            }
            _saved = null;
        });

    private void Take(KeptPage page)
    {
        _form.Take(page.Language, page.Parts, page.Contact);
        _saved = "The text of the kept page stands above.";
    }

    private Task KeepAsync() => RunAsync(async ct => await SaveAsync(ct));

    private Task KeepAndMakeAsync() =>
        RunAsync(async ct =>
        {
            if (await SaveAsync(ct) is { } id)
            {
                await HandOverAsync(id, ct);
            }
        });

    private Task MakeAsync(Guid id) => RunAsync(ct => HandOverAsync(id, ct));

    private async Task<Guid?> SaveAsync(CancellationToken ct)
    {
        var id = Guid.CreateVersion7(Time.GetUtcNow());
        var request = new KeepFamilyPage(
            id,
            ChildId,
            _form.Language,
            [.. _form.Parts.Select(part => new FamilyPart(part.Heading, part.Text))],
            _form.Contact
        );
        _refusals = await Keeper.HandleAsync(await Actors.GetAsync(ct), request, ct);
        if (_refusals.Count > 0)
        {
            _saved = null;
            return null;
        }
        await FetchAsync(_form.Language, ct);
        _saved = "Kept.";
        return id;
    }

    private async Task HandOverAsync(Guid id, CancellationToken ct)
    {
        await using var file = await Exports.HandleAsync(await Actors.GetAsync(ct), new ExportFamilyPage(ChildId, id), ct);
        if (file is not null)
        {
            await Browser.SaveFileAsync(file.Name, file.Content, ct);
            _saved = $"{file.Name} was made.";
        }
    }

    private string? ProblemOf(string field) => _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;

    private static string NameOf(string tag) => FamilyTexts.Languages.First(language => language.Tag == tag).Name;

    // Long lines wrap: a row for about every eighty letters, and one more to see that there is an end.
    private static int RowsOf(string text) => text.Split('\n').Sum(line => 1 + line.Length / 80) + 1;
}
