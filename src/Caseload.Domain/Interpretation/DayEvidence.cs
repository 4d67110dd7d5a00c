using System.Runtime.InteropServices;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Interpretation;

/// <summary>What one day's findings say about one item: the strongest response that counts, by side.</summary>
/// <remarks>
/// The strongest counts because a response that was seen is in the child's repertoire, whatever came before or after it that
/// day; so the order in which a day's findings were recorded cannot matter.
/// </remarks>
/// <param name="Day">Day number.</param>
/// <param name="Left">Grade on the left, 0 upwards in the order of the item's words, or −1 when not conclusively tested.</param>
/// <param name="Right">Grade on the right, likewise. Items without sides carry the same grade on both.</param>
/// <param name="Unsuitable">Bit set of the unsuitable states in which findings of the day were made.</param>
/// <param name="HasNotTested">Whether something could not be tested that day.</param>
/// <param name="HasStateMissing">Whether a finding that counts has no state recorded.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct DayEvidence(int Day, sbyte Left, sbyte Right, byte Unsuitable, bool HasNotTested, bool HasStateMissing)
{
    /// <summary>The grade that stands for "not conclusively tested".</summary>
    public const sbyte Untested = -1;

    /// <summary>Whether any finding of the day counts.</summary>
    public bool IsConclusive => Left >= 0 || Right >= 0;

    /// <summary>Whether both sides were tested.</summary>
    public bool HasBothSides => (Left | Right) >= 0;

    /// <summary>The stronger side's grade.</summary>
    public int Top => Math.Max(Left, Right);

    /// <summary>The weaker side's grade; −1 when a side was not tested.</summary>
    public int Bottom => Math.Min(Left, Right);

    /// <summary>Whether the sides differ by two grades, or one is absent and the other is not.</summary>
    public bool IsOneSided => Left != Right && HasBothSides && (Bottom == 0 || Top - Bottom >= 2);

    /// <summary>The grade of a response within its item's words.</summary>
    public static sbyte GradeOf(Response response) =>
        response switch
        {
            Response.Absent => 0,
            Response.Weak or Response.Partial => 1,
            Response.Typical or Response.Complete => 2,
            Response.Brisk => 3,
            Response.Obligatory => 4,
            _ => throw new ArgumentOutOfRangeException(nameof(response)),
        };

    /// <summary>The response word of a grade.</summary>
    public static Response ResponseOf(int grade, ItemCourse course) =>
        course == ItemCourse.Emerges
            ? grade switch
            {
                0 => Response.Absent,
                1 => Response.Partial,
                _ => Response.Complete,
            }
            : (Response)grade;

    /// <summary>Adds a finding of the same day; the strongest conclusive grade of each side stands.</summary>
    public DayEvidence With(in ItemRule rule, Side side, Response? response, BehaviouralState? state)
    {
        if (response is not { } seen)
        {
            return this with { HasNotTested = true };
        }
        if (state is { } known && (rule.SuitableStates & (1 << (int)known)) == 0)
        {
            return this with { Unsuitable = (byte)(Unsuitable | (1 << (int)known)) };
        }
        var grade = GradeOf(seen);
        var left = side == Side.Right && rule.HasSides ? Left : Math.Max(Left, grade);
        var right = side == Side.Left && rule.HasSides ? Right : Math.Max(Right, grade);
        return new DayEvidence(Day, left, right, Unsuitable, HasNotTested, HasStateMissing || state is null);
    }

    /// <summary>A day on which nothing has been recorded yet.</summary>
    public static DayEvidence Empty(int day) => new(day, Untested, Untested, 0, false, false);
}
