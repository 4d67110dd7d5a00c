using Caseload.Domain;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Programmes;

/// <summary>The programme's name and time zone.</summary>
public partial class ProgrammeFields
{
    private readonly ProgrammeFieldsForm _form = new();

    /// <summary>What is saved.</summary>
    [Parameter, EditorRequired]
    public ProgrammeSettings Settings { get; set; } = default!;

    /// <summary>What was refused.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Refusals { get; set; } = [];

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>What was saved last.</summary>
    [Parameter]
    public string? Saved { get; set; }

    /// <summary>Asked for when it shall be saved.</summary>
    [Parameter]
    public EventCallback<ProgrammeFieldsForm> OnSave { get; set; }

    private static IEnumerable<string> Zones { get; } =
        TimeZoneInfo
            .GetSystemTimeZones()
            .Where(zone => zone.HasIanaId && (zone.Id == "UTC" || zone.Id.Contains('/', StringComparison.Ordinal)))
            .Select(zone => zone.Id)
            .Order(StringComparer.Ordinal)
            .ToList();

    /// <inheritdoc />
    protected override void OnInitialized() => (_form.Name, _form.TimeZoneId) = (Settings.Name, Settings.TimeZoneId);

    private string? Invalid(string field) => Refusals.Any(refusal => refusal.Field == field) ? "true" : null;
}
