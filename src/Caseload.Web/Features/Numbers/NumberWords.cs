using System.Globalization;
using Caseload.Domain.Statistics;
using Caseload.Web.Platform.Numbers;

namespace Caseload.Web.Features.Numbers;

/// <summary>Numbers in words.</summary>
public static class NumberWords
{
    /// <summary>"82 % (71 to 90 %)", or that there is none.</summary>
    public static string Percent(NumberShare share) =>
        share.Bounds is { } bounds
            ? string.Create(
                CultureInfo.InvariantCulture,
                $"{100.0 * share.Count / share.Total:0} % ({100 * bounds.Lower:0} to {100 * bounds.Upper:0} %)"
            )
            : "none yet";

    /// <summary>"41 of 50".</summary>
    public static string Of(NumberShare share) => string.Create(CultureInfo.InvariantCulture, $"{share.Count} of {share.Total}");

    /// <summary>"4 days".</summary>
    public static string Days(NumberMedian median) =>
        median.Median is { } days ? string.Create(CultureInfo.InvariantCulture, $"{days:0.#} {(days == 1 ? "day" : "days")}") : "none yet";

    /// <summary>One decimal at most.</summary>
    public static string Number(double? number) => number is { } known ? known.ToString("0.#", CultureInfo.InvariantCulture) : "none yet";

    /// <summary>When half have integrated.</summary>
    public static string Half(IntegrationCurve curve)
    {
        var (from, through) = (Number(curve.MedianFrom), Number(curve.MedianThrough));
        return from == through
            ? $"Half have integrated at about {through} months."
            : $"Half have integrated between {from} and {through} months.";
    }

    /// <summary>"0.47 (0.18 to 0.76)", or that there is none.</summary>
    public static string Of(WeightedKappa kappa) =>
        kappa.Estimate is not { } estimate ? "not computable"
        : estimate.Interval is { } bounds
            ? string.Create(CultureInfo.InvariantCulture, $"{estimate.Kappa:0.00} ({bounds.Lower:0.00} to {bounds.Upper:0.00})")
        : string.Create(CultureInfo.InvariantCulture, $"{estimate.Kappa:0.00}");

    /// <summary>"12 %".</summary>
    public static string Share(double share) => string.Create(CultureInfo.InvariantCulture, $"{100 * share:0} %");

    /// <summary>A gestation group.</summary>
    public static string Of(GestationGroup group) =>
        group switch
        {
            GestationGroup.VeryPreterm => "Before 32 weeks",
            GestationGroup.Preterm => "32 to 36 weeks",
            GestationGroup.Term => "37 weeks and more",
            _ => throw new ArgumentOutOfRangeException(nameof(group)),
        };
}
