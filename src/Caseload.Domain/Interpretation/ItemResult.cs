using Caseload.Domain.Calendar;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Interpretation;

/// <summary>A check to be done: when and what for.</summary>
/// <param name="Span">From when and through when.</param>
/// <param name="Purpose">What it is for.</param>
public sealed record PlannedCheck(DateSpan Span, CheckPurpose Purpose)
{
    /// <summary>Whether its last day has gone by.</summary>
    public bool IsOverdue(DateOnly on) => on > Span.Through;
}

/// <summary>Where a child stands with one item, with everything needed to derive it again by hand.</summary>
/// <param name="Item">The item.</param>
/// <param name="Verdict">The answer without words.</param>
/// <param name="Window">The item's dates for this child.</param>
/// <param name="Reasons">The steps, in order.</param>
public sealed record ItemResult(ReferenceItem Item, ItemVerdict Verdict, ItemWindow Window, IReadOnlyList<Reason> Reasons)
{
    /// <summary>The state.</summary>
    public ItemState State => Verdict.State;

    /// <summary>The day from which the state holds; null when it holds from birth.</summary>
    public DateOnly? SinceOn => ItemWindow.ToDate(Verdict.Since);

    /// <summary>The first later day on which the result would differ without a new finding; null when it would not.</summary>
    public DateOnly? NextChangeOn => ItemWindow.ToDate(Verdict.NextChangeOn);

    /// <summary>First day on which the item is expected.</summary>
    public DateOnly ExpectedFromOn => DateOnly.FromDayNumber(Window.ExpectedFrom);

    /// <summary>First day of the usual window.</summary>
    public DateOnly? UsualFromOn => ItemWindow.ToDate(Window.UsualFrom);

    /// <summary>The usual deadline.</summary>
    public DateOnly? UsualThroughOn => ItemWindow.ToDate(Window.UsualThrough);

    /// <summary>The latest published limit.</summary>
    public DateOnly? LatestThroughOn => ItemWindow.ToDate(Window.LatestThrough);

    /// <summary>The next check; null when none is planned.</summary>
    public PlannedCheck? NextCheck =>
        Verdict.Purpose == CheckPurpose.None
            ? null
            : new PlannedCheck(
                new DateSpan(DateOnly.FromDayNumber(Verdict.CheckFrom), DateOnly.FromDayNumber(Verdict.CheckThrough)),
                Verdict.Purpose
            );
}
