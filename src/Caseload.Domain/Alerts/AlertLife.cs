using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Alerts;

/// <summary>How somebody answers an alert.</summary>
public enum AlertAnswer
{
    /// <summary>It was seen.</summary>
    Acknowledge,

    /// <summary>Something was done about it.</summary>
    Act,

    /// <summary>It is set aside until a day, for a reason.</summary>
    SetAside,
}

/// <summary>What an answer must be checked against.</summary>
/// <param name="State">Where the alert is in its life.</param>
/// <param name="Severity">How much attention it asks for.</param>
/// <param name="RaisedOn">The day for which it was raised.</param>
public readonly record struct AnsweredAlert(AlertState State, Concern Severity, DateOnly RaisedOn);

/// <summary>What was entered as an answer.</summary>
/// <param name="Answer">The kind of answer.</param>
/// <param name="Action">What was done; for <see cref="AlertAnswer.Act"/> only.</param>
/// <param name="On">The day on which it was done, or on which an alert that is set aside comes back.</param>
/// <param name="Note">A note, or the reason for setting it aside.</param>
public sealed record AlertEntry(AlertAnswer Answer, AlertAction? Action, DateOnly? On, string? Note);

/// <summary>The life of an alert between raising and closing: who answers moves it, and only so. Raising and closing are the rules' own.</summary>
/// <remarks>The spans are our assumption, without a source. Refusals name <c>answer</c>, <c>action</c>, <c>on</c> or <c>note</c>.</remarks>
public static class AlertLife
{
    /// <summary>The most days for which a same-day alert is set aside.</summary>
    public const int MostDaysAsideSameDay = 7;

    /// <summary>The most days for which any other alert is set aside.</summary>
    public const int MostDaysAside = 90;

    /// <summary>So many days before it was raised, something may have been done about what it says: it may have been known before.</summary>
    public const int DaysBeforeRaised = 30;

    /// <summary>For how many days at most an alert is set aside.</summary>
    public static int MostDaysAsideFor(Concern severity) => severity == Concern.SameDay ? MostDaysAsideSameDay : MostDaysAside;

    /// <summary>Whether an answer makes sense in a state: once acknowledged, seeing it again is nothing new; a closed alert takes none.</summary>
    public static bool Allows(AlertState state, AlertAnswer answer) =>
        (state, answer) switch
        {
            (AlertState.Closed, _) => false,
            (AlertState.Acknowledged or AlertState.ActedOn, AlertAnswer.Acknowledge) => false,
            _ => true,
        };

    /// <summary>The state after an answer, or everything that keeps it from being given.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="entry">What was entered.</param>
    /// <param name="todayOn">Today in the programme's zone.</param>
    public static Checked<AlertState> Answer(in AnsweredAlert alert, AlertEntry entry, DateOnly todayOn)
    {
        if (!Allows(alert.State, entry.Answer))
        {
            return Checked.Refuse<AlertState>(
                "answer",
                alert.State == AlertState.Closed
                    ? "This alert has closed: nothing needs an answer any more."
                    : "Somebody has acknowledged this already. Say what was done, or set it aside."
            );
        }
        return entry.Answer switch
        {
            AlertAnswer.Acknowledge => Checked.Accept(AlertState.Acknowledged),
            AlertAnswer.Act => Accept(AlertState.ActedOn, RefusalsOfAction(alert, entry, todayOn)),
            AlertAnswer.SetAside => Accept(AlertState.SetAside, RefusalsOfSettingAside(alert, entry, todayOn)),
            _ => throw new ArgumentOutOfRangeException(nameof(entry)),
        };
    }

    private static Checked<AlertState> Accept(AlertState next, List<Refusal> refusals) =>
        refusals.Count == 0 ? Checked.Accept(next) : Checked.Refuse<AlertState>(refusals);

    private static List<Refusal> RefusalsOfAction(in AnsweredAlert alert, AlertEntry entry, DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        var firstOn = alert.RaisedOn.AddDays(-DaysBeforeRaised);
        if (entry.Action is null)
        {
            refusals.Add(new Refusal("action", "Choose what was done."));
        }
        if (entry.On is not { } on)
        {
            refusals.Add(new Refusal("on", "Enter the day on which it was done."));
        }
        else if (on > todayOn)
        {
            refusals.Add(new Refusal("on", "This day is still to come. Enter the day on which it was done."));
        }
        else if (on < firstOn)
        {
            refusals.Add(
                new Refusal(
                    "on",
                    $"This is more than {DaysBeforeRaised} days before the alert was raised. Enter a day from {firstOn:yyyy-MM-dd} on."
                )
            );
        }
        if (entry.Action == AlertAction.Other && string.IsNullOrWhiteSpace(entry.Note))
        {
            refusals.Add(new Refusal("note", "Say in the note what was done."));
        }
        return refusals;
    }

    private static List<Refusal> RefusalsOfSettingAside(in AnsweredAlert alert, AlertEntry entry, DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        var most = MostDaysAsideFor(alert.Severity);
        if (entry.On is not { } on || on <= todayOn)
        {
            refusals.Add(new Refusal("on", "Enter the day on which it shall come back, tomorrow or later."));
        }
        else if (on > todayOn.AddDays(most))
        {
            refusals.Add(
                new Refusal(
                    "on",
                    alert.Severity == Concern.SameDay
                        ? $"A same-day alert is set aside for {most} days at most. Enter a day until {todayOn.AddDays(most):yyyy-MM-dd}."
                        : $"An alert is set aside for {most} days at most. Enter a day until {todayOn.AddDays(most):yyyy-MM-dd}."
                )
            );
        }
        if (string.IsNullOrWhiteSpace(entry.Note))
        {
            refusals.Add(new Refusal("note", "Say why it can wait."));
        }
        return refusals;
    }
}
