using Caseload.Domain.Ages;
using Caseload.Domain.Calendar;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Interpretation;

/// <summary>The dates of one item for one child, as day numbers; <see cref="None"/> where the item has no such date.</summary>
/// <param name="ExpectedFrom">First day on which it is expected; never before birth.</param>
/// <param name="UsualFrom">First day of the span in which it usually goes (gives way), else the day from which it is expected.</param>
/// <param name="UsualThrough">The usual deadline: last day on which its presence (gives way) or absence (emerges) is usual.</param>
/// <param name="LatestThrough">The latest published limit.</param>
/// <param name="AbsenceFrom">First day on which absence matters.</param>
/// <param name="AbsenceThrough">Last day on which absence matters.</param>
/// <param name="PartialThrough">Last day on which a partial response is accepted whatever the limit says.</param>
/// <param name="EndsFrom">First day on which an emerging reaction usually fades again.</param>
/// <param name="EndsThrough">Last day on which an emerging reaction usually fades again.</param>
public readonly record struct ItemWindow(
    int ExpectedFrom,
    int UsualFrom,
    int UsualThrough,
    int LatestThrough,
    int AbsenceFrom,
    int AbsenceThrough,
    int PartialThrough,
    int EndsFrom,
    int EndsThrough
)
{
    /// <summary>Stands for a date that the item does not have; later than any real day, so that comparisons need no test for it.</summary>
    public const int None = int.MaxValue / 2;

    /// <summary>A day number as a date, or null for <see cref="None"/>.</summary>
    public static DateOnly? ToDate(int dayNumber) => dayNumber is None or <= 0 ? null : DateOnly.FromDayNumber(dayNumber);
}

/// <summary>A child's birth as day numbers.</summary>
/// <param name="BornDay">Day number of birth.</param>
/// <param name="AnchorDay">Day number from which months are counted.</param>
/// <param name="PmaZeroDay">Day number at which postmenstrual age is zero; 280 days before birth when gestation is unknown.</param>
/// <param name="FollowedFromDay">First day on which checks can be asked of the programme.</param>
public readonly record struct ChildDays(int BornDay, int AnchorDay, int PmaZeroDay, int FollowedFromDay)
{
    /// <summary>The day numbers of a child under a policy.</summary>
    public static ChildDays Of(BirthFacts birth, ReviewPolicy policy, DateOnly? followedFromOn = null) =>
        new(
            birth.BornOn.DayNumber,
            birth.AnchorOn(policy.CorrectBelowDays).DayNumber,
            birth.BornOn.DayNumber - (birth.Gestation?.TotalDays ?? GestationalAge.TermDays),
            Math.Max(followedFromOn?.DayNumber ?? 0, birth.BornOn.DayNumber)
        );
}

/// <summary>What the rules need to know of an item, without its texts.</summary>
/// <param name="Course">What it does over time.</param>
/// <param name="HasSides">Whether left and right are compared.</param>
/// <param name="IsUnscheduled">Whether it is optional and the policy leaves it out of the schedule.</param>
/// <param name="SuitableStates">Bit set of behavioural states in which a finding counts.</param>
public readonly record struct ItemRule(ItemCourse Course, bool HasSides, bool IsUnscheduled, int SuitableStates);

/// <summary>Turns a child's birth into the dates of every item, one pass and no allocation.</summary>
public sealed class WindowTable
{
    private const int NoIndex = -1;

    private readonly int[] _months;
    private readonly WindowRow[] _rows;

    /// <summary>Prepares the table for a set.</summary>
    public WindowTable(ReferenceSet set)
    {
        var months = new SortedSet<int> { 0 };
        foreach (var rule in set.Items.Select(item => item.Rule))
        {
            Add(rule.UsualFrom?.Months);
            Add(rule.UsualThrough?.Months);
            Add(rule.Latest?.Months);
            Add(rule.Absence?.FromMonths);
            Add(rule.Absence?.ThroughMonths);
            Add(rule.PartialAcceptedThrough?.Months);
            Add(rule.Ends?.FromMonths);
            Add(rule.Ends?.ThroughMonths);
            Add(rule.Onset.Unit == OnsetUnit.CorrectedMonths ? rule.Onset.From : null);
        }
        _months = [.. months];
        _rows =
        [
            .. set.Items.Select(item => new WindowRow(
                item.Rule.Onset.Unit == OnsetUnit.PmaWeeks ? item.Rule.Onset.From * 7 : NoIndex,
                item.Rule.Onset.Unit == OnsetUnit.CorrectedMonths ? IndexOf(item.Rule.Onset.From) : IndexOf(0),
                IndexOf(item.Rule.UsualFrom?.Months),
                IndexOf(item.Rule.UsualThrough?.Months),
                IndexOf(item.Rule.Latest?.Months),
                IndexOf(item.Rule.Absence?.FromMonths),
                IndexOf(item.Rule.Absence?.ThroughMonths),
                IndexOf(item.Rule.PartialAcceptedThrough?.Months),
                IndexOf(item.Rule.Ends?.FromMonths),
                IndexOf(item.Rule.Ends?.ThroughMonths)
            )),
        ];

        void Add(int? value)
        {
            if (value is { } known)
            {
                months.Add(known);
            }
        }

        // The slot after the last month holds the day that stands for "none".
        int IndexOf(int? value) => value is { } known ? Array.BinarySearch(_months, known) : _months.Length;
    }

    /// <summary>How many items the set has.</summary>
    public int Count => _rows.Length;

    /// <summary>How many slots <see cref="FillDays"/> needs.</summary>
    public int DayCount => _months.Length + 1;

    /// <summary>Computes the child's day for every age the set names, once.</summary>
    public void FillDays(in ChildDays child, Span<int> days)
    {
        MonthCalendar.AddMonths(child.AnchorDay, _months, days);
        days[_months.Length] = ItemWindow.None;
    }

    /// <summary>The dates of one item, from the days of <see cref="FillDays"/>.</summary>
    public ItemWindow WindowOf(int item, in ChildDays child, ReadOnlySpan<int> days)
    {
        ref readonly var row = ref _rows[item];
        var onset = row.OnsetPmaDays >= 0 ? child.PmaZeroDay + row.OnsetPmaDays : days[row.OnsetMonth];
        var expectedFrom = onset > child.BornDay ? onset : child.BornDay;
        var usualFrom = days[row.UsualFrom];
        return new ItemWindow(
            expectedFrom,
            usualFrom == ItemWindow.None ? expectedFrom : usualFrom,
            days[row.UsualThrough],
            days[row.Latest],
            days[row.AbsenceFrom],
            days[row.AbsenceThrough],
            days[row.PartialThrough],
            days[row.EndsFrom],
            days[row.EndsThrough]
        );
    }

    private readonly record struct WindowRow(
        int OnsetPmaDays,
        int OnsetMonth,
        int UsualFrom,
        int UsualThrough,
        int Latest,
        int AbsenceFrom,
        int AbsenceThrough,
        int PartialThrough,
        int EndsFrom,
        int EndsThrough
    );
}
