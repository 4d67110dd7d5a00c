using System.Globalization;
using Caseload.Domain.Calendar;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;

namespace Caseload.Web.Features.Visits;

/// <summary>What the visit screens say about entries and findings.</summary>
public static class VisitWords
{
    /// <summary>Said while a state does not suit an item.</summary>
    public static string Unsuitable(ReferenceItem item, BehaviouralState state) =>
        $"{Labels.Of(state)} is not a suitable state for this item: this will not count. Try again when {Lower(item.States.Best)}.";

    /// <summary>The states to wait for, and those that also count.</summary>
    public static string SuitableStates(ReferenceItem item) =>
        item.States.Usable.Count == 0
            ? Labels.Of(item.States.Best[0])
                + (item.States.Best.Count > 1 ? " or " + string.Join(" or ", item.States.Best.Skip(1).Select(Lower)) : "")
            : $"{Labels.Of(item.States.Best[0])}; {Lower(item.States.Usable)} also counts";

    /// <summary>An entry in one line.</summary>
    public static string Of(EntryForm entry, ReferenceItem item)
    {
        var words =
            item.Sided == Sidedness.None || (entry.IsAlike && entry.Left is not null)
                ? entry.Left is { } response
                    ? Labels.Of(response) + (item.Sided == Sidedness.None ? "" : ", both sides alike")
                    : NotTested(entry.NotTested)
                : entry.Left is null && entry.Right is null
                    ? NotTested(entry.NotTested)
                    : $"Left: {SideWord(entry.Left, entry.NotTested)}; right: {SideWord(entry.Right, entry.NotTested)}";
        return words;
    }

    /// <summary>A finding in words, without its side.</summary>
    public static string Of(Finding finding) =>
        finding.IsWithdrawal ? "Taken back"
        : finding.Response is { } response ? Labels.Of(response)
        : NotTested(finding.NotTested);

    /// <summary>A finding in words, with its side.</summary>
    public static string Of(Finding finding, ReferenceItem item) =>
        item.Sided == Sidedness.None || finding.IsWithdrawal ? Of(finding) : $"{Labels.Of(finding.Side)}: {LowerFirst(Of(finding))}";

    /// <summary>The side of a finding, or nothing for an item without sides.</summary>
    public static string SideOf(Finding finding, ReferenceItem item) => item.Sided == Sidedness.None ? "" : Labels.Of(finding.Side);

    /// <summary>When somebody is to be told, as a heading.</summary>
    public static string Of(TellBy tellBy) =>
        tellBy switch
        {
            TellBy.SameDay => "Tell today, the same day",
            TellBy.WithinTwoDays => "Tell within 1 to 2 working days",
            TellBy.WithinAWeek => "Tell within 7 days",
            TellBy.Routine => "Mention in the usual way",
            TellBy.NobodyYet => "Nobody to tell yet: look again first",
            _ => throw new ArgumentOutOfRangeException(nameof(tellBy)),
        };

    /// <summary>A span of days.</summary>
    public static string Of(DateSpan span) =>
        span.From == span.Through ? Day(span.From)
        : span.From.Year == span.Through.Year ? $"{span.From.ToString("d MMM", CultureInfo.InvariantCulture)} to {Day(span.Through)}"
        : $"{Day(span.From)} to {Day(span.Through)}";

    /// <summary>A day.</summary>
    public static string Day(DateOnly on) => on.ToString("d MMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>A time of day in the programme's zone.</summary>
    public static string Time(DateTimeOffset at, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(at, zone).ToString("HH:mm", CultureInfo.InvariantCulture);

    private static string SideWord(Response? response, NotTestedReason? notTested) =>
        response is { } seen ? Labels.Of(seen).ToLowerInvariant()
        : notTested is { } reason ? $"could not be tested ({LowerFirst(Labels.Of(reason))})"
        : "not checked";

    private static string NotTested(NotTestedReason? reason) =>
        reason is { } known ? $"Could not be tested: {LowerFirst(Labels.Of(known))}" : "Nothing entered";

    private static string Lower(IReadOnlyList<BehaviouralState> states) => string.Join(" or ", states.Select(Lower));

    private static string Lower(BehaviouralState state) => LowerFirst(Labels.Of(state));

    private static string LowerFirst(string text) => char.ToLowerInvariant(text[0]) + text[1..];
}
