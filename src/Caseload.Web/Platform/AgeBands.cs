using Caseload.Domain.Ages;

namespace Caseload.Web.Platform;

/// <summary>An age band, by the age that counts for the child: corrected as long as the programme corrects.</summary>
public enum AgeBand
{
    /// <summary>Under six months.</summary>
    UnderSixMonths,

    /// <summary>From six months to under twelve.</summary>
    SixToTwelveMonths,

    /// <summary>From twelve months to under twenty-four.</summary>
    SecondYear,

    /// <summary>Twenty-four months and more.</summary>
    ThirdYear,
}

/// <summary>Which band a child's age falls into, and what the bands are called.</summary>
public static class AgeBands
{
    /// <summary>The band of a child's ages; before the expected date it is the first.</summary>
    public static AgeBand Of(ChildAges ages) =>
        (ages.Basis == AgeBasis.Chronological ? ages.Chronological : ages.Corrected ?? default).TotalMonths switch
        {
            < 6 => AgeBand.UnderSixMonths,
            < 12 => AgeBand.SixToTwelveMonths,
            < 24 => AgeBand.SecondYear,
            _ => AgeBand.ThirdYear,
        };

    /// <summary>What a band is called.</summary>
    public static string Of(AgeBand band) =>
        band switch
        {
            AgeBand.UnderSixMonths => "Under 6 months",
            AgeBand.SixToTwelveMonths => "6 to 12 months",
            AgeBand.SecondYear => "12 to 24 months",
            AgeBand.ThirdYear => "24 months and more",
            _ => throw new ArgumentOutOfRangeException(nameof(band)),
        };
}
