using System.Globalization;
using Caseload.Data.Jobs;

namespace Caseload.Web.Features.Jobs;

/// <summary>Runs in plain words.</summary>
public static class JobWords
{
    /// <summary>Where a run stands.</summary>
    public static string Of(RunRow run) =>
        run.State switch
        {
            RunState.Waiting => "Waiting to begin",
            RunState.Running => "Running",
            RunState.BrokenOff => "Broken off: it is taken up again",
            RunState.Done => "Done",
            RunState.Failed when run.AgainAt is { } at => $"Failed: tried again from {at.ToString("HH:mm", CultureInfo.InvariantCulture)}",
            RunState.Failed when run.AttemptCount > 1 => Text($"Failed {run.AttemptCount} times in a row"),
            RunState.Failed => "Failed",
            _ => Text($"Given up after {JobClaims.MostAttempts} attempts: run it now once the cause is gone"),
        };

    /// <summary>The class that colours the words.</summary>
    public static string ClassOf(RunState state) =>
        state switch
        {
            RunState.Done => "good",
            RunState.Waiting or RunState.Running => "going",
            _ => "bad",
        };

    /// <summary>How far a run is.</summary>
    public static string Progress(RunRow run) =>
        run switch
        {
            { TotalCount: { } total } => Text($"{run.DoneCount:N0} of {total:N0}"),
            { DoneCount: > 0 } => Text($"{run.DoneCount:N0} done"),
            _ => "Begun",
        };

    /// <summary>Period, duration, process and attempts.</summary>
    public static string Particulars(RunRow run)
    {
        var parts = new List<string>();
        if (run.Period is not null)
        {
            parts.Add("for " + run.Period);
        }
        if (run.Took is { } took)
        {
            parts.Add("took " + Length(took));
        }
        if (run.Node.Length > 0)
        {
            parts.Add("on " + run.Node);
        }
        if (run is { Period: not null, AttemptCount: > 1 })
        {
            parts.Add(Text($"attempt {run.AttemptCount}"));
        }
        return string.Join(" · ", parts);
    }

    /// <summary>A length of time as people say it.</summary>
    public static string Length(TimeSpan length) =>
        length.TotalSeconds switch
        {
            < 1 => "less than a second",
            < 1.5 => "1 second",
            < 60 => Text($"{length.TotalSeconds:0} seconds"),
            < 90 => "1 minute",
            < 3600 => Text($"{length.TotalMinutes:0} minutes"),
            < 5400 => "1 hour",
            _ => Text($"{length.TotalHours:0.#} hours"),
        };

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
