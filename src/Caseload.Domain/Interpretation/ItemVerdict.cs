using System.Runtime.InteropServices;

namespace Caseload.Domain.Interpretation;

/// <summary>The answer for one item on one date, without words: what the batch path produces and what is stored.</summary>
/// <remarks>
/// Everything but <see cref="State"/>, <see cref="Since"/> and the check follows from the findings alone; the three change with time
/// only on <see cref="NextChangeOn"/>, so two verdicts between those days are equal.
/// </remarks>
/// <param name="State">The state.</param>
/// <param name="Step">For persisting and late: 1 past the usual deadline, 2 past the latest published limit; otherwise 0.</param>
/// <param name="IsConfirmed">For absent when expected: whether a second day confirmed it.</param>
/// <param name="Since">Day number from which the state holds; 0 when it holds from birth.</param>
/// <param name="NextChangeOn">First later day number on which the result would differ without a new finding; 0 when it would not.</param>
/// <param name="CheckFrom">First day of the next check; 0 when none is planned.</param>
/// <param name="CheckThrough">Last day of the next check; 0 when none is planned.</param>
/// <param name="Purpose">What the next check is for.</param>
/// <param name="Concern">How much attention the state asks for.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct ItemVerdict(
    ItemState State,
    byte Step,
    bool IsConfirmed,
    int Since,
    int NextChangeOn,
    int CheckFrom,
    int CheckThrough,
    CheckPurpose Purpose,
    Concern Concern
);
