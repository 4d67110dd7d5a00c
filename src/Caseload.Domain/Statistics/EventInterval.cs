using System.Runtime.InteropServices;

namespace Caseload.Domain.Statistics;

/// <summary>What is known of when something happened: after one age, and at another age at the latest.</summary>
/// <remarks>
/// Open on the left and closed on the right: it had not happened yet at <see cref="After"/>, and it had at <see cref="Through"/>. Both equal
/// means that it happened exactly then. The unit is the caller's, the same for all intervals of a curve.
/// </remarks>
[StructLayout(LayoutKind.Auto)]
public readonly record struct EventInterval
{
    /// <summary>An interval.</summary>
    /// <param name="after">See <see cref="After"/>; finite.</param>
    /// <param name="through">See <see cref="Through"/>; finite when given, and not before <paramref name="after"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">A number is not finite, or the ends are the wrong way round.</exception>
    public EventInterval(double after, double? through)
    {
        if (!double.IsFinite(after))
        {
            throw new ArgumentOutOfRangeException(nameof(after), after, "The last age before it happened must be finite.");
        }
        if (through is { } known && !(double.IsFinite(known) && known >= after))
        {
            throw new ArgumentOutOfRangeException(
                nameof(through),
                through,
                "The age at which it had happened must not lie before the other."
            );
        }
        After = after;
        Through = through;
    }

    /// <summary>The last age at which it is known not to have happened.</summary>
    public double After { get; }

    /// <summary>The first age at which it is known to have happened; null when it had not happened yet (right-censored).</summary>
    public double? Through { get; }

    /// <summary>Whether it is known to have happened exactly at one age.</summary>
    public bool IsExact => After == Through;

    /// <summary>It happened exactly at an age.</summary>
    public static EventInterval At(double age) => new(age, age);

    /// <summary>It had not happened yet at the last look (right-censored).</summary>
    public static EventInterval NotBy(double age) => new(age, null);
}
