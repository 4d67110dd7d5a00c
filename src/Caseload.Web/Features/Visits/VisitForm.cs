using System.Text.Json;
using System.Text.Json.Serialization;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Visits;

/// <summary>What has been entered into an open visit; kept as a draft until the visit is finished.</summary>
public sealed record VisitForm
{
    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingDefault,
        IgnoreReadOnlyProperties = true,
    };

    /// <summary>The infant's state at the moment; goes into each finding as it is entered.</summary>
    public BehaviouralState? State { get; init; }

    /// <summary>Who visits.</summary>
    public Guid? ClinicianId { get; init; }

    /// <summary>Where the visit takes place.</summary>
    public string Place { get; init; } = "";

    /// <summary>A note on the whole visit.</summary>
    public string Note { get; init; } = "";

    /// <summary>Items taken in beyond the plan, in the order they were added.</summary>
    public IReadOnlyList<AddedItem> Added { get; init; } = [];

    /// <summary>What was entered, one entry an item.</summary>
    public IReadOnlyList<EntryForm> Entries { get; init; } = [];

    /// <summary>Reads what <see cref="Write"/> gave.</summary>
    public static VisitForm Read(string json) => JsonSerializer.Deserialize<VisitForm>(json, Json) ?? new VisitForm();

    /// <summary>The form as it is kept in the draft.</summary>
    public string Write() => JsonSerializer.Serialize(this, Json);

    /// <summary>An item's entry, or a blank one.</summary>
    public EntryForm EntryOf(string item) => Entries.FirstOrDefault(entry => entry.Item == item) ?? new EntryForm { Item = item };

    /// <summary>The form with an item's entry replaced or taken in.</summary>
    public VisitForm With(EntryForm entry) => this with { Entries = [.. Entries.Where(known => known.Item != entry.Item), entry] };

    /// <summary>The form with an item taken in beyond the plan.</summary>
    public VisitForm WithAdded(AddedItem added) => this with { Added = [.. Added.Where(known => known.Item != added.Item), added] };

    /// <summary>The form without an item that was taken in beyond the plan.</summary>
    public VisitForm Without(string item) =>
        this with
        {
            Added = [.. Added.Where(known => known.Item != item)],
            Entries = [.. Entries.Where(known => known.Item != item)],
        };

    /// <summary>The findings that the entries stand for.</summary>
    public IReadOnlyList<Finding> ToFindings(ReferenceSet set, DateOnly observedOn) =>
        [
            .. Entries.SelectMany(entry =>
                entry.ToFindings(
                    set.Find(entry.Item)?.Sided ?? Sidedness.None,
                    observedOn,
                    Added.FirstOrDefault(added => added.Item == entry.Item)?.ReviewedExclusion
                )
            ),
        ];
}

/// <summary>An item taken into a visit beyond the plan.</summary>
/// <param name="Item">The item's id.</param>
/// <param name="ReviewedExclusion">The exclusion that was reviewed with the team before; null when none rules the item out.</param>
public sealed record AddedItem(string Item, string? ReviewedExclusion);

/// <summary>What was entered for one item. The ids of its findings are made with the first entry, so that a repeated finish changes nothing.</summary>
public sealed record EntryForm
{
    /// <summary>The item's id.</summary>
    public required string Item { get; init; }

    /// <summary>The id of a finding for both sides, or for an item without sides.</summary>
    public Guid BothId { get; init; }

    /// <summary>The id of a finding for the left side.</summary>
    public Guid LeftId { get; init; }

    /// <summary>The id of a finding for the right side.</summary>
    public Guid RightId { get; init; }

    /// <summary>What was seen on the left; an item without sides carries the same word on both.</summary>
    public Response? Left { get; init; }

    /// <summary>What was seen on the right.</summary>
    public Response? Right { get; init; }

    /// <summary>Why the sides without a response could not be tested.</summary>
    public NotTestedReason? NotTested { get; init; }

    /// <summary>The infant's state during this check.</summary>
    public BehaviouralState? State { get; init; }

    /// <summary>The technique variant used; null for the usual one.</summary>
    public string? Variant { get; init; }

    /// <summary>A note on this check.</summary>
    public string Note { get; init; } = "";

    /// <summary>Whether the card is folded to one line.</summary>
    public bool IsFolded { get; init; }

    /// <summary>Whether anything was found or could not be tested.</summary>
    public bool IsEntered => Left is not null || Right is not null || NotTested is not null;

    /// <summary>Whether both sides were seen and are alike.</summary>
    public bool IsAlike => Left is not null && Left == Right;

    /// <summary>The entry after a response was chosen on one side or both, in the infant's present state.</summary>
    public EntryForm WithResponse(Side side, Response response, BehaviouralState? presentState)
    {
        var left = side == Side.Right ? Left : response;
        var right = side == Side.Left ? Right : response;
        return this with
        {
            Left = left,
            Right = right,
            NotTested = left is not null && right is not null ? null : NotTested,
            State = State ?? presentState,
        };
    }

    /// <summary>The entry after a reason was chosen: it stands for the side not tested, or for the whole item.</summary>
    public EntryForm WithNotTested(NotTestedReason? reason, BehaviouralState? presentState) =>
        this with
        {
            Left = reason is not null && Left is not null && Right is not null ? null : Left,
            Right = reason is not null && Left is not null && Right is not null ? null : Right,
            NotTested = reason,
            State = reason is null && Left is null && Right is null ? null : State ?? presentState,
        };

    /// <summary>The entry with ids for its findings, when it has none yet.</summary>
    public EntryForm WithIds(Func<Guid> make) =>
        BothId == Guid.Empty ? this with { BothId = make(), LeftId = make(), RightId = make() } : this;

    /// <summary>The entry with nothing entered; its ids stay.</summary>
    public EntryForm Cleared() =>
        new()
        {
            Item = Item,
            BothId = BothId,
            LeftId = LeftId,
            RightId = RightId,
        };

    /// <summary>The findings the entry stands for: one when the sides are alike or the item has none, otherwise one a side.</summary>
    public IEnumerable<Finding> ToFindings(Sidedness sided, DateOnly observedOn, string? reviewedExclusion)
    {
        if (!IsEntered)
        {
            return [];
        }
        if (sided == Sidedness.None || Left == Right)
        {
            return [Make(BothId, Side.Both, Left)];
        }
        var sides = new[] { Make(LeftId, Side.Left, Left), Make(RightId, Side.Right, Right) }
            .Where(finding => finding.Response is not null || finding.NotTested is not null)
            .ToArray();
        // One note for one check: the second side does not repeat it.
        return sides.Select((finding, index) => index == 0 ? finding : finding with { Note = null });

        Finding Make(Guid id, Side side, Response? response) =>
            new(id, Item, observedOn, side, response, State, response is null ? NotTested : null)
            {
                Variant = Variant,
                Note = NoteWith(reviewedExclusion),
            };
    }

    private string? NoteWith(string? reviewedExclusion)
    {
        var note = Note.Trim();
        return reviewedExclusion is null ? (note.Length == 0 ? null : note)
            : note.Length == 0 ? $"Exclusion reviewed with the team. {reviewedExclusion}"
            : $"{note} (Exclusion reviewed with the team. {reviewedExclusion})";
    }
}
