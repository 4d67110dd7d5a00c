using Caseload.Domain;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Visits;

/// <summary>What may be said about a check beside the response.</summary>
public partial class EntryDetails
{
    /// <summary>The check.</summary>
    [Parameter, EditorRequired]
    public VisitCard Card { get; set; } = default!;

    /// <summary>Raised with the entry after each change.</summary>
    [Parameter]
    public EventCallback<EntryForm> EntryChanged { get; set; }

    private ReferenceItem Item => Card.Check.Item;

    private string NotTestedLabel =>
        (Card.Entry.Left, Card.Entry.Right) switch
        {
            (not null, null) => "Right could not be tested",
            (null, not null) => "Left could not be tested",
            _ => "Could not test",
        };

    private string Id(string part) => $"{part}-{Item.Id}";

    private Task ChangeStateAsync(ChangeEventArgs change) =>
        ChangeAsync(Card.Entry with { State = EnumWords.FromWord<BehaviouralState>(TextOf(change)) });

    private Task ChangeNotTestedAsync(ChangeEventArgs change) =>
        ChangeAsync(Card.Entry.WithNotTested(EnumWords.FromWord<NotTestedReason>(TextOf(change)), Card.PresentState));

    private Task ChangeAsync(EntryForm entry) => EntryChanged.InvokeAsync(entry);

    private static string TextOf(ChangeEventArgs change) => change.Value as string ?? "";
}
