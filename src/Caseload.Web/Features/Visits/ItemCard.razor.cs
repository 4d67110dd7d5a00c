using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Visits;

/// <summary>One check of a visit: how it is done, and the buttons that record it.</summary>
public partial class ItemCard
{
    /// <summary>What is shown.</summary>
    [Parameter, EditorRequired]
    public VisitCard Card { get; set; } = default!;

    /// <summary>Raised with the entry after each change.</summary>
    [Parameter]
    public EventCallback<EntryForm> EntryChanged { get; set; }

    /// <summary>Raised when the entry is to be cleared.</summary>
    [Parameter]
    public EventCallback OnUndo { get; set; }

    /// <summary>Raised when an added item is to be taken out again.</summary>
    [Parameter]
    public EventCallback OnRemove { get; set; }

    private ReferenceItem Item => Card.Check.Item;

    private string Why
    {
        get
        {
            var purpose = Card.Check.Result.Verdict.Purpose;
            return Card.Check.Why.Length == 0 ? (Card.Check.RelatedTo.Count == 0 ? "Added; not due" : "")
                : Card.IsAdded || purpose is CheckPurpose.None or CheckPurpose.AfterDeadline ? Card.Check.Why
                : $"{Labels.Of(purpose)} · {Card.Check.Why}";
        }
    }

    private string Id(string part) => $"{part}-{Item.Id}";

    private Task RespondAsync(Side side, Response response) => ChangeAsync(Card.Entry.WithResponse(side, response, Card.PresentState));

    private Task ChangeAsync(EntryForm entry) => EntryChanged.InvokeAsync(entry);
}
