namespace Caseload.Integration.Tests.Year;

/// <summary>Where a node is killed.</summary>
internal enum KillPoint
{
    /// <summary>Some milliseconds after it began to work.</summary>
    AtWork,

    /// <summary>Between claim and sending: when it names the recipient of a message.</summary>
    BeforeData,

    /// <summary>When the server has taken the message and has not answered.</summary>
    BeforeAnswer,

    /// <summary>About when the server's answer arrives, so before or after the message is marked as sent.</summary>
    AfterAnswer,
}

/// <summary>A kill to come.</summary>
/// <param name="Step">From which step of the year on.</param>
/// <param name="Node">Which node.</param>
/// <param name="Point">Where.</param>
/// <param name="Delay">How long after that point.</param>
internal sealed record PlannedKill(int Step, int Node, KillPoint Point, TimeSpan Delay)
{
    /// <summary>Kills spread over the steps, a third of them at a node's work wherever it then is.</summary>
    internal static List<PlannedKill> Draw(int count, int steps, int nodes, int seed)
    {
        var random = new Random(seed);
        return
        [
            .. Enumerable
                .Range(0, count)
                .Select(_ => new PlannedKill(
                    // Not in the last steps: those that wait for mail must find some.
                    random.Next(steps * 9 / 10),
                    random.Next(nodes),
                    random.Next(3) == 0 ? KillPoint.AtWork : (KillPoint)random.Next(1, 4),
                    TimeSpan.FromMilliseconds(random.Next(40))
                ))
                .OrderBy(kill => kill.Step),
        ];
    }
}
