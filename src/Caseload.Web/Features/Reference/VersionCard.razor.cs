using System.Globalization;
using Caseload.Domain;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>A published version in the list.</summary>
public partial class VersionCard
{
    private bool _isAsking;
    private bool _isReasonMissing;
    private ActivationReason? _reason;

    /// <summary>The version.</summary>
    [Parameter, EditorRequired]
    public ReferenceVersionRow Version { get; set; } = default!;

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Asked for when the version shall be used again, with the reason.</summary>
    [Parameter]
    public EventCallback<ActivationReason> OnUse { get; set; }

    private string Day => Version.PublishedOn.ToString("d MMM yyyy", CultureInfo.InvariantCulture);

    private string Findings => Version.FindingCount == 1 ? "1 finding" : $"{Version.FindingCount} findings";

    private static string NameOf(ActivationReason reason) =>
        reason switch
        {
            ActivationReason.ProtocolChanged => "Our own protocol changed",
            ActivationReason.FiguresInDoubt => "Figures of the version in use are in doubt",
            ActivationReason.PublishedByMistake => "The version in use was published by mistake",
            ActivationReason.TrialEnded => "The version in use was only tried out",
            _ => throw new ArgumentOutOfRangeException(nameof(reason)),
        };

    private void Ask() => _isAsking = true;

    private void Cancel() => (_isAsking, _isReasonMissing, _reason) = (false, false, null);

    private void Choose(ChangeEventArgs change)
    {
        _reason = EnumWords.FromWord<ActivationReason>(change.Value as string);
        _isReasonMissing = false;
    }

    private async Task UseAsync()
    {
        _isReasonMissing = _reason is null;
        if (_reason is { } reason)
        {
            await OnUse.InvokeAsync(reason);
            Cancel();
        }
    }
}
