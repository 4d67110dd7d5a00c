using System.Text.Json;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Data.Alerts;

/// <summary>Why an alert was raised: a sentence and what it rests on.</summary>
/// <param name="Text">The sentence.</param>
/// <param name="Sources">Source keys of the figures used.</param>
public sealed record AlertReason(string Text, IReadOnlyList<string> Sources)
{
    /// <summary>The stored form.</summary>
    public static string ToJson(IReadOnlyList<AlertReason> reasons) => JsonSerializer.Serialize(reasons, JsonSerializerOptions.Web);

    /// <summary>Reads the stored form.</summary>
    public static IReadOnlyList<AlertReason> FromJson(string json) =>
        JsonSerializer.Deserialize<IReadOnlyList<AlertReason>>(json, JsonSerializerOptions.Web)!;
}

/// <summary>An alert that a child's record asks for.</summary>
/// <param name="Item">The item's id, the word of an urgent sign, or <see cref="Alert.WholeChild"/>.</param>
/// <param name="Index">Position of the item in the set; -1 for what concerns no item.</param>
/// <param name="Call">What the rules say.</param>
public sealed record WantedAlert(string Item, int Index, AlertCall Call);

/// <summary>An alert that stands open, as far as the book looks at it.</summary>
internal sealed record OpenAlert(
    Guid Id,
    string Item,
    AlertKind Kind,
    short Step,
    Concern Severity,
    DateOnly RaisedOn,
    DateTimeOffset RaisedAt
)
{
    internal static OpenAlert Of(Alert alert) =>
        new(alert.Id, alert.Item, alert.Kind, alert.Step, alert.Severity, alert.RaisedOn, alert.RaisedAt);
}

/// <summary>A finding, as far as it may close an alert.</summary>
internal readonly record struct ClosingFinding(Guid Id, string Item, DateOnly ObservedOn, DateTimeOffset RecordedAt);

/// <summary>What has to happen so that the open alerts are those that the record asks for.</summary>
internal abstract record AlertChange
{
    private AlertChange(Guid? alertId) => AlertId = alertId;

    /// <summary>The alert that stands; null for one that is to be raised.</summary>
    internal Guid? AlertId { get; }

    internal sealed record Raise(WantedAlert Wanted) : AlertChange((Guid?)null);

    internal sealed record Restep(OpenAlert Open, WantedAlert Wanted) : AlertChange(Open.Id)
    {
        internal bool IsWorse => Wanted.Call.Severity > Open.Severity || Wanted.Call.Step > Open.Step;
    }

    internal sealed record Close(OpenAlert Open, AlertEnd Because, Guid? FindingId) : AlertChange(Open.Id);
}

/// <summary>Compares the alerts that stand open with those that a child's record asks for. Pure; whoever asks writes the changes.</summary>
internal static class AlertBook
{
    /// <summary>The changes.</summary>
    /// <param name="wanted">What the record asks for.</param>
    /// <param name="open">What stands open, for the same child and the same items.</param>
    /// <param name="isCaseClosed">Whether the case is closed.</param>
    /// <param name="lastVisitOn">The day of the last finished visit.</param>
    /// <param name="findings">The child's findings.</param>
    internal static IEnumerable<AlertChange> Settle(
        IReadOnlyCollection<WantedAlert> wanted,
        IReadOnlyCollection<OpenAlert> open,
        bool isCaseClosed,
        DateOnly? lastVisitOn,
        IReadOnlyCollection<ClosingFinding> findings
    )
    {
        foreach (var want in wanted)
        {
            var stands = open.FirstOrDefault(alert => alert.Item == want.Item && alert.Kind == want.Call.Kind);
            if (stands is null)
            {
                yield return new AlertChange.Raise(want);
            }
            else if (stands.Step != want.Call.Step || stands.Severity != want.Call.Severity)
            {
                yield return new AlertChange.Restep(stands, want);
            }
        }
        foreach (var alert in open.Where(alert => !wanted.Any(want => want.Item == alert.Item && want.Call.Kind == alert.Kind)))
        {
            var findingId = findings
                .Where(finding => finding.Item == alert.Item && finding.RecordedAt >= alert.RaisedAt)
                .OrderBy(finding => finding.ObservedOn)
                .ThenBy(finding => finding.RecordedAt)
                .ThenBy(finding => finding.Id)
                .Select(finding => (Guid?)finding.Id)
                .LastOrDefault();
            yield return new AlertChange.Close(alert, EndOf(alert, wanted, isCaseClosed, lastVisitOn, findingId is not null), findingId);
        }
    }

    private static AlertEnd EndOf(
        OpenAlert alert,
        IReadOnlyCollection<WantedAlert> wanted,
        bool isCaseClosed,
        DateOnly? lastVisitOn,
        bool hasFinding
    ) =>
        alert.Kind switch
        {
            _ when isCaseClosed => AlertEnd.CaseClosed,
            AlertKind.Unassigned => AlertEnd.Assigned,
            AlertKind.NotVisited when lastVisitOn >= alert.RaisedOn => AlertEnd.Visited,
            AlertKind.NotVisited => AlertEnd.NoLongerFound,
            AlertKind.UrgentSign => AlertEnd.SignSettled,
            _ when wanted.Any(want => want.Item == alert.Item) => AlertEnd.BecameAnother,
            _ when hasFinding => AlertEnd.NewFinding,
            _ => AlertEnd.NoLongerFound,
        };
}
