using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Wording;

/// <summary>What a message about one alert says, in plain text; no names, no birth dates.</summary>
public static class AlertMail
{
    /// <summary>The subject.</summary>
    /// <param name="childName">What the child is called in mail.</param>
    /// <param name="isUnanswered">Whether it goes out because nobody answered.</param>
    public static string Subject(string childName, bool isUnanswered) =>
        isUnanswered ? $"Caseload: not answered in time, {childName}" : $"Caseload: for today, {childName}";

    /// <summary>The text.</summary>
    /// <param name="childName">What the child is called in mail.</param>
    /// <param name="title">What the alert says.</param>
    /// <param name="response">What the trade commonly does first.</param>
    /// <param name="link">Where the alert is answered.</param>
    /// <param name="isUnanswered">Whether it goes out because nobody answered.</param>
    public static string Text(string childName, string title, FirstResponse response, string link, bool isUnanswered) =>
        $"""
            {childName}
            {title}

            {(isUnanswered ? "Nobody has answered this alert in the time the programme allows.\n\n" : "")}What is commonly done first
            Tell: {response.TellWhom}
            How soon: {response.HowSoon}
            Look again: {response.Next}

            Sign in to see why, and to say what was done:
            {link}

            {FirstResponses.Caution}

            """;

    /// <summary>What an alert says, with the item's name from the set; an urgent sign has its own.</summary>
    /// <param name="kind">The kind.</param>
    /// <param name="step">1 or 2 for persisting and late.</param>
    /// <param name="item">The item's id, or the word of an urgent sign.</param>
    /// <param name="set">The reference set.</param>
    public static string TitleOf(AlertKind kind, int step, string item, ReferenceSet set) =>
        AlertText.Title(kind, step, SignOf(kind, item) is { } sign ? AlertText.Of(sign) : set.Find(item)?.Name ?? item);

    /// <summary>The usual first response to an alert about an item or a sign.</summary>
    public static FirstResponse ResponseTo(AlertKind kind, int step, Concern severity, string item) =>
        FirstResponses.For(kind, step, severity, SignOf(kind, item));

    private static UrgentSign? SignOf(AlertKind kind, string item) =>
        kind == AlertKind.UrgentSign ? EnumWords.FromWord<UrgentSign>(item) : null;
}
