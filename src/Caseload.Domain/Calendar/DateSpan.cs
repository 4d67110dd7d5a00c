using System.Globalization;

namespace Caseload.Domain.Calendar;

/// <summary>A run of calendar days, both ends inside.</summary>
/// <param name="From">The first day.</param>
/// <param name="Through">The last day, on or after <paramref name="From"/>.</param>
public readonly record struct DateSpan(DateOnly From, DateOnly Through)
{
    /// <summary>Whether the day lies in the span, either end included.</summary>
    public bool Contains(DateOnly on) => From <= on && on <= Through;

    /// <summary>Both ends in ISO form.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{From:yyyy-MM-dd} to {Through:yyyy-MM-dd}");
}
