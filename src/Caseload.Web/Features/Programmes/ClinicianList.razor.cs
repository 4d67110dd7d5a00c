using Caseload.Domain;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Programmes;

/// <summary>The people who see children for the programme, edited in place.</summary>
public partial class ClinicianList
{
    private ClinicianForm? _edited;

    /// <summary>The clinicians.</summary>
    [Parameter, EditorRequired]
    public IReadOnlyList<ClinicianRow> Clinicians { get; set; } = [];

    /// <summary>What was refused.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Refusals { get; set; } = [];

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Who was saved last.</summary>
    [Parameter]
    public string? Saved { get; set; }

    /// <summary>Asked for when a clinician shall be saved.</summary>
    [Parameter]
    public EventCallback<SaveClinician> OnSave { get; set; }

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    private static SaveClinician Toggled(ClinicianRow row) =>
        new(row.Id, row.RowVersion, row.Name, row.Initials, row.Discipline, !row.IsActive);

    private void Add() => _edited = new ClinicianForm(Guid.CreateVersion7(Time.GetUtcNow()));

    private void Edit(ClinicianRow row) =>
        _edited = new ClinicianForm(row.Id)
        {
            RowVersion = row.RowVersion,
            Name = row.Name,
            Initials = row.Initials,
            Discipline = row.Discipline,
            IsActive = row.IsActive,
        };

    private void Cancel() => _edited = null;

    private Task SaveAsync() =>
        OnSave.InvokeAsync(new(_edited!.Id, _edited.RowVersion, _edited.Name, _edited.Initials, _edited.Discipline, _edited.IsActive));
}
