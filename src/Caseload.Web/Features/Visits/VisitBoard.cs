namespace Caseload.Web.Features.Visits;

/// <summary>What an open visit shows at a moment: the plan, what was entered, and what the last finish refused.</summary>
public sealed class VisitBoard
{
    /// <summary>Lays it out.</summary>
    public VisitBoard(OpenVisitView view, VisitForm form, IReadOnlyList<VisitRefusal> refusals)
    {
        // An entry stays on the board even when its item is no longer planned.
        List<string> shown =
        [
            .. view
                .Planned.Concat(form.Added.Select(added => added.Item))
                .Concat(form.Entries.Where(entry => entry.IsEntered).Select(entry => entry.Item))
                .Distinct()
                .Where(view.Checks.ContainsKey),
        ];
        Cards =
        [
            .. shown.Select(
                (item, index) =>
                    new VisitCard(
                        index + 1,
                        view.Checks[item],
                        form.EntryOf(item),
                        form.State,
                        form.Added.Any(added => added.Item == item),
                        refusals.FirstOrDefault(refusal => refusal.Item == item)?.Refusal.Message
                    )
            ),
        ];
        LeftOut = [.. view.LeftOut.Where(row => !shown.Contains(row.ItemId)).Select(row => (row, view.Checks[row.ItemId]))];
        NotShown = [.. view.Checks.Values.Where(check => !shown.Contains(check.Item.Id))];
        Problems = [.. refusals.Where(refusal => refusal.Item is null).Select(refusal => refusal.Refusal.Message)];
    }

    /// <summary>A card for each item, in handling order, added ones last.</summary>
    public IReadOnlyList<VisitCard> Cards { get; }

    /// <summary>What is due and not part of the visit.</summary>
    public IReadOnlyList<(LeftOutRow Row, VisitCheckRow Check)> LeftOut { get; }

    /// <summary>Every item that is not part of the visit.</summary>
    public IReadOnlyList<VisitCheckRow> NotShown { get; }

    /// <summary>What the last finish refused about the visit as a whole.</summary>
    public IReadOnlyList<string> Problems { get; }

    /// <summary>How many items have an entry.</summary>
    public int EnteredCount => Cards.Count(card => card.Entry.IsEntered);

    /// <summary>Names of the items without an entry.</summary>
    public IReadOnlyList<string> Untouched => [.. Cards.Where(card => !card.Entry.IsEntered).Select(card => card.Check.Item.Name)];

    /// <summary>The next item without an entry after a given one; null when there is none.</summary>
    public string? NextAfter(string item) =>
        Cards.SkipWhile(card => card.Check.Item.Id != item).Skip(1).FirstOrDefault(card => !card.Entry.IsEntered)?.Check.Item.Id;
}
