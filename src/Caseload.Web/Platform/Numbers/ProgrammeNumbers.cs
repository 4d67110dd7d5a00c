using Caseload.Domain.Statistics;

namespace Caseload.Web.Platform.Numbers;

/// <summary>Children by length of the pregnancy.</summary>
public enum GestationGroup
{
    /// <summary>Before 32 completed weeks.</summary>
    VeryPreterm,

    /// <summary>From 32 to before 37 completed weeks.</summary>
    Preterm,

    /// <summary>From 37 completed weeks.</summary>
    Term,
}

/// <summary>A share with its interval.</summary>
/// <param name="Count">How many.</param>
/// <param name="Total">Of how many.</param>
public sealed record NumberShare(int Count, int Total)
{
    /// <summary>Where the share behind it lies with 95 per cent confidence; null when there is none.</summary>
    public ConfidenceBounds? Bounds => WilsonInterval.Of(Count, Total);
}

/// <summary>A median with how many it is of.</summary>
/// <param name="Median">The median in days; null when there is none.</param>
/// <param name="Count">Of how many.</param>
public sealed record NumberMedian(double? Median, int Count);

/// <summary>A point of the curve's table.</summary>
/// <param name="Months">Corrected age in months.</param>
/// <param name="Least">Share that has certainly got there.</param>
/// <param name="Most">Share that may have.</param>
/// <param name="Bounds">Bounds of it, point by point.</param>
/// <param name="AtRisk">How many children still inform it.</param>
public sealed record CurvePoint(int Months, double Least, double Most, ConfidenceBounds Bounds, int AtRisk);

/// <summary>When a response integrates in this programme.</summary>
/// <param name="ItemName">The item.</param>
/// <param name="Count">How many children were looked at.</param>
/// <param name="Points">The curve by month; empty with too few children.</param>
/// <param name="UsualFromMonths">From when it usually goes, as published; null when no figure says.</param>
/// <param name="UsualThroughMonths">By when it usually has gone, as published.</param>
/// <param name="MedianFrom">Half have integrated after this age, in months; null when fewer than half are known to.</param>
/// <param name="MedianThrough">And by this age.</param>
public sealed record IntegrationCurve(
    string ItemName,
    int Count,
    IReadOnlyList<CurvePoint> Points,
    double? UsualFromMonths,
    double? UsualThroughMonths,
    double? MedianFrom,
    double? MedianThrough
);

/// <summary>How two raters agree on an item.</summary>
/// <param name="ItemName">The item.</param>
/// <param name="Kappa">How well, weighted by the steps between words.</param>
public sealed record RaterAgreement(string ItemName, WeightedKappa Kappa);

/// <summary>An item to choose.</summary>
/// <param name="Id">The item's id.</param>
/// <param name="Name">Its name.</param>
public sealed record NumberItem(string Id, string Name);

/// <summary>The programme's numbers.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="SinceOn">The day from which the last twelve weeks count.</param>
/// <param name="OpenCases">Open cases.</param>
/// <param name="LookedAtInTime">Usual deadlines of the twelve weeks before which somebody had looked.</param>
/// <param name="ReferralToVisit">Days from referral to the first visit, of those taken on within a year.</param>
/// <param name="OpenAlerts">Open alerts that are more than to watch.</param>
/// <param name="DaysToAcknowledge">Days until an alert of the twelve weeks was first answered.</param>
/// <param name="AnsweredInTime">Alerts of the twelve weeks that nobody had to be told of.</param>
/// <param name="Items">Items with a time to integration.</param>
/// <param name="Curve">The curve asked for.</param>
/// <param name="Raters">Agreement of two raters, by item.</param>
public sealed record ProgrammeNumbers(
    DateOnly TodayOn,
    DateOnly SinceOn,
    int OpenCases,
    NumberShare LookedAtInTime,
    NumberMedian ReferralToVisit,
    int OpenAlerts,
    NumberMedian DaysToAcknowledge,
    NumberShare AnsweredInTime,
    IReadOnlyList<NumberItem> Items,
    IntegrationCurve? Curve,
    IReadOnlyList<RaterAgreement> Raters
)
{
    /// <summary>Open alerts for each hundred open cases.</summary>
    public double? AlertsPerHundred => OpenCases == 0 ? null : 100.0 * OpenAlerts / OpenCases;
}
