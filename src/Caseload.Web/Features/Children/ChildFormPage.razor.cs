using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>Adds or edits a child, and shows while typing what follows from the birth facts.</summary>
public partial class ChildFormPage
{
    private readonly HashSet<string> _touched = [];
    private ChildFormView? _view;
    private ChildForm _form = new();
    private BirthPreview? _preview;
    private IReadOnlyList<Refusal> _refusals = [];
    private string? _notice;
    private Guid _newId;

    /// <summary>The child to edit; null for a new one.</summary>
    [Parameter]
    public Guid? ChildId { get; set; }

    [Inject]
    private GetChildFormHandler Find { get; set; } = default!;

    [Inject]
    private SaveChildHandler Save { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    private string Title => ChildId is null ? "Add a child" : $"Edit {_view?.Code ?? "child"}";

    /// <inheritdoc />
    protected override Task OnParametersSetAsync()
    {
        _newId = Guid.CreateVersion7(Time.GetUtcNow());
        return ReloadAsync();
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _view = await Find.HandleAsync(await Actors.GetAsync(ct), new GetChildForm(ChildId), ct);
            _form = _view?.Form ?? new ChildForm();
            _refusals = [];
            _touched.Clear();
            Preview();
            return _view is not null;
        });

    private void Preview() => _preview = _view is null ? null : BirthPreview.Of(_form, _view.Interpreter, _view.TodayOn);

    private void Changed(string field)
    {
        _touched.Add(field);
        _refusals = [.. _refusals.Where(refusal => refusal.Field != field)];
        Preview();
    }

    private void Choose(GestationEntry entry)
    {
        _form.Entry = entry;
        _touched.Remove("gestation");
        _touched.Remove("expected");
        _refusals = [.. _refusals.Where(refusal => refusal.Field is not ("gestation" or "expected"))];
        Preview();
    }

    private void ChooseClinician(ChangeEventArgs change) =>
        _form.ClinicianId = Guid.TryParse(change.Value as string, out var id) ? id : null;

    /// <summary>What was refused at a field: by the last save, or already while typing in it.</summary>
    private string? ProblemAt(string field) =>
        _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message
        ?? (_touched.Contains(field) ? _preview?.Refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message : null);

    private Task SaveAsync() =>
        RunAsync(async ct =>
        {
            _notice = null;
            var outcome = await Save.HandleAsync(
                await Actors.GetAsync(ct),
                new SaveChild(ChildId ?? _newId, ChildId is null, _view!.RowVersion, _form),
                ct
            );
            switch (outcome)
            {
                case SaveChildOutcome.Saved:
                    Navigation.NavigateTo($"children/{ChildId ?? _newId}");
                    break;
                case SaveChildOutcome.Refused refused:
                    _refusals = refused.Refusals;
                    _notice = "Not saved yet: see the fields marked above.";
                    break;
                case SaveChildOutcome.ChangedMeanwhile:
                    _notice =
                        "Somebody else changed this child meanwhile. Open the child again in another tab, compare, and enter your change once more.";
                    break;
                default:
                    _notice = "There is no such child any more.";
                    break;
            }
        });

    private static string NameOf(GestationEntry entry) =>
        entry switch
        {
            GestationEntry.Weeks => "Weeks and days",
            GestationEntry.Expected => "Expected date",
            GestationEntry.Unknown => "Not known",
            _ => throw new ArgumentOutOfRangeException(nameof(entry)),
        };
}
