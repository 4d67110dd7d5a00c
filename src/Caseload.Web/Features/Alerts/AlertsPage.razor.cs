using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Alerts;

/// <summary>Everything that waits for an answer. What is chosen stands in the address, so that a link keeps it; what is searched does not.</summary>
public partial class AlertsPage
{
    private ListAlerts _request = new();
    private AlertsView? _view;

    /// <summary>The word of what is shown.</summary>
    [SupplyParameterFromQuery(Name = "show")]
    private string? ShowWord { get; set; }

    /// <summary>The word of a severity.</summary>
    [SupplyParameterFromQuery(Name = "severity")]
    private string? SeverityWord { get; set; }

    /// <summary>The word of a kind.</summary>
    [SupplyParameterFromQuery(Name = "kind")]
    private string? KindWord { get; set; }

    /// <summary>A clinician.</summary>
    [SupplyParameterFromQuery(Name = "clinician")]
    private Guid? ClinicianId { get; set; }

    /// <summary>Whether only the own children count.</summary>
    [SupplyParameterFromQuery(Name = "mine")]
    private bool IsMine { get; set; }

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    private string EmptyTitle =>
        _request.IsNarrowed ? "No alert here"
        : _request.Show == AlertShow.Open ? "Nothing waits for an answer"
        : "No alert";

    private int Standing => _view?.Tallies.Where(tally => tally.State != AlertState.Closed).Sum(tally => tally.Count) ?? 0;

    private int Others =>
        _view?.Tallies.Where(tally => AlertWords.StateOf(_request.Show) is not { } state || tally.State == state).Sum(tally => tally.Count)
        ?? 0;

    /// <inheritdoc />
    protected override void OnParametersSet() =>
        _request = _request with
        {
            Show = EnumWords.FromWord<AlertShow>(ShowWord) ?? AlertShow.Open,
            Severity = EnumWords.FromWord<Concern>(SeverityWord) is { } severity and not Concern.None ? severity : null,
            Kind = EnumWords.FromWord<AlertKind>(KindWord),
            ClinicianId = ClinicianId,
            OnlyMine = IsMine,
        };

    private void Filter(ListAlerts request)
    {
        // A name belongs into no address; the others do.
        _request = request;
        Navigation.NavigateTo(
            Navigation.GetUriWithQueryParameters(
                new Dictionary<string, object?>
                {
                    ["show"] = request.Show == AlertShow.Open ? null : request.Show.ToWord(),
                    ["severity"] = request.Severity?.ToWord(),
                    ["kind"] = request.Kind?.ToWord(),
                    ["clinician"] = request.ClinicianId,
                    ["mine"] = request.OnlyMine ? true : null,
                }
            ),
            replace: true
        );
    }
}
