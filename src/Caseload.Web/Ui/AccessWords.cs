using System.Globalization;
using System.Text.Json;

namespace Caseload.Web.Ui;

/// <summary>What entries of the access record are about, as a person asks for them.</summary>
public enum AccessGroup
{
    /// <summary>Signing in and out, and failing to.</summary>
    SignedIn,

    /// <summary>Opening and listing.</summary>
    Looked,

    /// <summary>Adding, changing, closing, destroying.</summary>
    Changed,

    /// <summary>Exporting and printing.</summary>
    Exported,

    /// <summary>Opening a child outside the own reach.</summary>
    ReachedByReason,

    /// <summary>Accounts, roles, cover.</summary>
    PeopleAndRights,

    /// <summary>What was asked for and not allowed.</summary>
    Denied,

    /// <summary>Checking, searching and trimming the record itself.</summary>
    TheRecordItself,
}

/// <summary>Words of the access record in plain English. A word that nobody described yet is shown as it is, with spaces.</summary>
public static class AccessWords
{
    // Regular expressions that PostgreSQL and .NET read alike; none matches what another matches, and what none matches is a change.
    private static readonly Dictionary<AccessGroup, string> _patterns = new()
    {
        [AccessGroup.SignedIn] = "^(signed-|sign-in-|sign-out-|session-)",
        [AccessGroup.Looked] =
            "^(alert|alerts|signs|child|children|visit|visits|visit-plan|due|digest|handovers|looks|matrix|reaches|report|reports|family-page|summary|team|timeline|message)-(opened|listed|viewed|searched)$|^numbers-read$",
        [AccessGroup.Exported] = "-(exported|printed|downloaded)$",
        [AccessGroup.ReachedByReason] = "^reach-",
        [AccessGroup.PeopleAndRights] =
            "^(person|people|role|roles|invitation|first-administrator|second-factor|passkey|password|identity|recovery-codes?|authenticator|login|cover|caseload|clinician|account)-(?!.*(exported|printed|downloaded)$)",
        [AccessGroup.Denied] = "^denied$",
        [AccessGroup.TheRecordItself] = "^record-(?!.*(exported|printed|downloaded)$)",
    };

    private static readonly Dictionary<string, string> _sentences = new(StringComparer.Ordinal)
    {
        ["child-opened"] = "Opened the child's record",
        ["child-added"] = "Added the child",
        ["child-edited"] = "Changed the child's details",
        ["children-given"] = "Gave children to a clinician",
        ["handovers-listed"] = "Looked at handovers",
        ["child-assigned"] = "Gave the child to a clinician",
        ["assignment-began"] = "A planned assignment began",
        ["never-pair-added"] = "Said that a clinician is not to see the child",
        ["never-pair-removed"] = "Took back that a clinician is not to see the child",
        ["clinician-limits-changed"] = "Changed the limits of a clinician's caseload",
        ["workload-policy-saved"] = "Changed the numbers that loads are worked out with",
        ["matrix-listed"] = "Looked at the matrix of children and items",
        ["visit-plan-listed"] = "Looked at planned visits",
        ["visits-proposed"] = "Had four weeks of visits planned",
        ["visit-planned"] = "Planned a visit",
        ["visit-unplanned"] = "Took a visit out of the plan",
        ["calendar-address-made"] = "Made a private calendar address",
        ["calendar-address-revoked"] = "Took the private calendar address back",
        ["proposal-accepted"] = "Accepted a proposal who sees whom",
        ["handover-read"] = "Read a handover",
        ["numbers-read"] = "Read the programme's numbers",
        ["summary-opened"] = "Looked at a caseload summary",
        ["summary-exported"] = "Made a file of a caseload summary",
        ["report-opened"] = "Looked at the child's report",
        ["report-exported"] = "Made the child's report for paper",
        ["family-page-opened"] = "Looked at the page for the family",
        ["family-page-kept"] = "Kept a page for the family",
        ["family-page-exported"] = "Made the page for the family for paper",
        ["team-listed"] = "Looked at the team's caseloads",
        ["child-closed"] = "Closed the case",
        ["child-reopened"] = "Opened the case again",
        ["child-destroyed"] = "Destroyed the record",
        ["visit-opened"] = "Opened a visit",
        ["visit-started"] = "Started a visit",
        ["visit-finished"] = "Finished a visit",
        ["finding-corrected"] = "Corrected a finding",
        ["finding-withdrawn"] = "Took a finding back",
        ["alert-opened"] = "Opened an alert",
        ["alert-acknowledged"] = "Acknowledged an alert",
        ["alert-acted-on"] = "Said what was done about an alert",
        ["alert-set-aside"] = "Set an alert aside",
        ["signs-listed"] = "Looked at the urgent signs",
        ["sign-recorded"] = "Recorded an urgent sign",
        ["sign-settled"] = "Settled an urgent sign",
        ["exclusion-added"] = "Recorded a condition",
        ["exclusion-changed"] = "Changed a condition",
        ["concern-recorded"] = "Recorded a concern",
        ["concern-resolved"] = "Resolved a concern",
        ["concern-reopened"] = "Reopened a concern",
        ["reach-by-reason"] = "Opened the child by a reason",
        ["reach-ended"] = "Gave up a child opened by a reason",
        ["reach-refused"] = "Entered a code that opened nothing",
        ["reach-reviewed"] = "Looked over a child opened by a reason",
        ["reaches-listed"] = "Listed children opened by a reason",
        ["digest-made"] = "Made a weekly digest",
        ["looks-listed"] = "Asked who looked",
        ["record-searched"] = "Searched the access record",
        ["record-examined"] = "Signed off on looking over unusual access",
        ["record-verified"] = "Checked the access record: intact",
        ["record-broken"] = "Checked the access record: it was altered",
        ["record-trimmed"] = "Removed entries kept for long enough",
        ["signed-in"] = "Signed in",
        ["signed-out"] = "Signed out",
        ["sign-in-failed"] = "Failed to sign in",
        ["identity-linked"] = "Linked the account at the identity provider",
        ["alert-policy-saved"] = "Changed the numbers of alerts and the digest",
        ["policy-saved"] = "Changed the review policy",
        ["programme-saved"] = "Changed the programme's settings",
        ["programme-created"] = "Set up the programme",
        ["reference-published"] = "Published a reference set",
        ["reference-activated"] = "Chose the reference set in use",
        ["message-opened"] = "Opened a message of their own",
        ["test-message-written"] = "Sent a test message",
        ["messages-retried"] = "Had messages sent again",
        ["message-given-up"] = "Gave up a message that could not be sent",
        ["account-digest-mail-on"] = "Turned the weekly digest by mail on",
        ["account-digest-mail-off"] = "Turned the weekly digest by mail off",
        ["clinician-saved"] = "Changed a clinician",
        ["job-requested"] = "Asked for a job to run",
    };

    private static readonly Dictionary<string, string> _reasons = new(StringComparer.Ordinal)
    {
        ["own-caseload"] = "Own caseload",
        ["cover"] = "Covering for a colleague",
        ["reach-by-reason"] = "By a stated reason",
        ["supervision"] = "Supervision",
        ["administration"] = "Administration",
        ["account"] = "Own account",
        ["job"] = "The installation itself",
    };

    /// <summary>Every group by its name, in the order in which it is offered.</summary>
    public static IReadOnlyList<(AccessGroup Group, string Name)> Groups { get; } =
    [
        (AccessGroup.Looked, "Looked"),
        (AccessGroup.Changed, "Changed"),
        (AccessGroup.Exported, "Exported or printed"),
        (AccessGroup.ReachedByReason, "Reached by a reason"),
        (AccessGroup.SignedIn, "Signed in or out"),
        (AccessGroup.PeopleAndRights, "People and rights"),
        (AccessGroup.Denied, "Not allowed"),
        (AccessGroup.TheRecordItself, "The record itself"),
    ];

    /// <summary>A regular expression that matches every group but <see cref="AccessGroup.Changed"/>.</summary>
    public static string NotChanged { get; } = string.Join('|', _patterns.Values);

    /// <summary>The regular expression of a group's words; null for <see cref="AccessGroup.Changed"/>, which is the rest.</summary>
    public static string? PatternOf(AccessGroup group) => _patterns.GetValueOrDefault(group);

    /// <summary>What was done, in plain words.</summary>
    /// <param name="what">The entry's word.</param>
    /// <param name="detail">The entry's detail, a JSON object.</param>
    public static string Sentence(string what, string detail)
    {
        switch (what)
        {
            case "denied":
                return "Was not allowed: " + Spaced(Text(detail, "permission") ?? "something");
            case "children-listed" or "due-listed" or "alerts-listed" or "digest-opened":
                var list = what switch
                {
                    "due-listed" => "the list of what is due",
                    "alerts-listed" => "the list of alerts",
                    "digest-opened" => "a weekly digest",
                    _ => "a list",
                };
                var count = CountOf(detail);
                return count == 1
                    ? $"Saw 1 child in {list}"
                    : string.Create(CultureInfo.InvariantCulture, $"Saw {count} children in {list}");
            default:
                return Sentence(what);
        }
    }

    /// <summary>What was done, in plain words and without particulars.</summary>
    public static string Sentence(string what) => _sentences.GetValueOrDefault(what) ?? Capital(Spaced(what));

    /// <summary>Why the person may, in plain words.</summary>
    public static string Reason(string? why) => why is null ? "–" : _reasons.GetValueOrDefault(why) ?? Capital(Spaced(why));

    private static string Spaced(string word) => word.Replace('-', ' ');

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    private static string? Text(string detail, string name)
    {
        using var json = JsonDocument.Parse(detail);
        return json.RootElement.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;
    }

    private static int CountOf(string detail)
    {
        using var json = JsonDocument.Parse(detail);
        return json.RootElement.TryGetProperty("children", out var ids) && ids.ValueKind == JsonValueKind.Array ? ids.GetArrayLength() : 0;
    }
}
