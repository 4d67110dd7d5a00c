namespace Caseload.Domain.Interpretation;

/// <summary>Follows whether left and right differ, over the days on which something was seen.</summary>
/// <remarks>
/// Sides differ by two grades, or one is absent and the other is not, on one day. It stands until both sides are seen alike, or the
/// response is gone; a day with one side only settles nothing.
/// </remarks>
internal struct SideDifference
{
    /// <summary>First day of the present difference; 0 when there is none.</summary>
    internal int Since;

    /// <summary>Last day on which they differed.</summary>
    internal int LastDay;

    /// <summary>The grades of that day, as left × 16 + right.</summary>
    internal int Grades;

    /// <summary>Takes a day on which something was seen.</summary>
    internal void See(in DayEvidence day)
    {
        if (day.IsOneSided)
        {
            Since = Since == 0 ? day.Day : Since;
            LastDay = day.Day;
            Grades = day.Left * 16 + day.Right;
        }
        else if (day.HasBothSides)
        {
            Since = 0;
        }
    }

    /// <summary>Takes a full absence.</summary>
    internal void Clear() => Since = 0;
}
