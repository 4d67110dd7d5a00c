using Caseload.Domain.Findings;
using Caseload.Domain.Reference;

namespace Caseload.DemoSeed;

/// <summary>What an invented child would truly show for one item at any age: what a careful clinician would find.</summary>
/// <param name="Item">The item.</param>
/// <param name="TurnsAt">Age in months at which it gives way, or is there whole.</param>
/// <param name="ReturnsAt">Age in months at which it comes back after giving way, or is lost after it was there; infinite for most.</param>
/// <param name="FadesAt">Age in months at which an emerging item that fades again does so; infinite for most.</param>
/// <param name="Twist">What sets the child apart in this item.</param>
internal sealed record TrueCourse(ReferenceItem Item, double TurnsAt, double ReturnsAt, double FadesAt, Twist Twist)
{
    private const double FadingMonths = 1.2;
    private const double EmergingMonths = 1.5;
    private const double ChangedMonthsAgo = 1.8; // more than the seven weeks that may lie between two visits

    /// <summary>A course within the usual ages of the item, as most children have it, or with a twist.</summary>
    internal static TrueCourse Draw(ReferenceItem item, Twist twist, double ageMonths, SeededSource chance)
    {
        var rule = item.Rule;
        var opens = item.Course == ItemCourse.GivesWay ? rule.UsualFrom?.Months ?? 0 : OnsetMonths(rule.Onset);
        var closes = rule.UsualThrough?.Months ?? opens;
        var turnsAt = opens + (closes - opens) * chance.Between(0.15, 0.85);
        var fadesAt = rule.Ends is { } ends ? chance.Between((double)ends.FromMonths, ends.ThroughMonths) : double.PositiveInfinity;
        return new TrueCourse(
            item,
            twist is Twist.Stays or Twist.NeverWhole or Twist.NeverThere ? double.PositiveInfinity : turnsAt,
            twist is Twist.ComesBack or Twist.IsLost ? ageMonths - ChangedMonthsAgo : double.PositiveInfinity,
            fadesAt,
            twist
        );
    }

    /// <summary>The responses on the left and on the right at an age.</summary>
    internal (Response Left, Response Right) At(double months, SeededSource chance)
    {
        var usual = Item.Course == ItemCourse.Emerges ? Emerging(months) : Reflex(months, chance);
        return Twist switch
        {
            Twist.NeverThere => (Response.Absent, Response.Absent),
            Twist.HoldsTheChild => (Response.Obligatory, Response.Obligatory),
            Twist.LeftIsWeak => Item.Course == ItemCourse.Emerges
                ? (Response.Absent, usual)
                : (usual == Response.Absent ? Response.Absent : Response.Weak, usual == Response.Absent ? Response.Absent : Response.Brisk),
            _ => (usual, usual),
        };
    }

    private Response Reflex(double months, SeededSource chance)
    {
        if (Item.Course == ItemCourse.Lifelong || months < TurnsAt - FadingMonths)
        {
            return chance.Happens(0.06) ? Response.Brisk : Response.Typical;
        }
        if (months >= ReturnsAt)
        {
            return Response.Typical;
        }
        return months < TurnsAt ? Response.Weak : Response.Absent;
    }

    private Response Emerging(double months)
    {
        if (Twist == Twist.NeverWhole)
        {
            return Response.Partial;
        }
        if (months >= ReturnsAt || months >= FadesAt)
        {
            return Response.Absent;
        }
        return months >= TurnsAt ? Response.Complete
            : months >= TurnsAt - EmergingMonths ? Response.Partial
            : Response.Absent;
    }

    private static double OnsetMonths(OnsetFigure onset) => onset.Unit == OnsetUnit.CorrectedMonths ? onset.From : 0;
}

/// <summary>What sets a child apart in one item.</summary>
internal enum Twist
{
    /// <summary>Nothing.</summary>
    None,

    /// <summary>A reflex that does not give way.</summary>
    Stays,

    /// <summary>A reflex or reaction that is not there.</summary>
    NeverThere,

    /// <summary>A reaction that is there in part only.</summary>
    NeverWhole,

    /// <summary>A reflex that the child cannot break.</summary>
    HoldsTheChild,

    /// <summary>Weaker on the left, or absent there.</summary>
    LeftIsWeak,

    /// <summary>A reflex that came back some weeks ago.</summary>
    ComesBack,

    /// <summary>A reaction that was lost some weeks ago.</summary>
    IsLost,
}
