using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>The conditions of the largest likelihood, worked out from the observations and the published curve alone.</summary>
internal static class KuhnTucker
{
    /// <summary>For each candidate, the sum over the observations that cover it of one over the mass they cover.</summary>
    internal static IReadOnlyList<double> DerivativesOf(TurnbullCurve curve, IEnumerable<EventInterval> observations)
    {
        var covered = observations.Select(one => curve.Candidates.Select(candidate => Covers(one, candidate)).ToList()).ToList();
        var chances = covered.ConvertAll(row => row.Zip(curve.Candidates, (covers, candidate) => covers ? candidate.Mass : 0).Sum());
        return [.. curve.Candidates.Select((_, column) => covered.Zip(chances, (row, chance) => row[column] ? 1 / chance : 0).Sum())];
    }

    /// <summary>The log-likelihood of some masses of the candidates.</summary>
    internal static double LogLikelihoodOf(TurnbullCurve curve, IEnumerable<EventInterval> observations, IReadOnlyList<double> masses) =>
        observations.Sum(one => Math.Log(curve.Candidates.Zip(masses, (candidate, mass) => Covers(one, candidate) ? mass : 0).Sum()));

    internal static void ShouldHold(TurnbullCurve curve, IReadOnlyCollection<EventInterval> observations)
    {
        var count = observations.Count;
        var derivatives = DerivativesOf(curve, observations);
        for (var index = 0; index < derivatives.Count; index++)
        {
            derivatives[index].ShouldBeLessThan(count * (1 + 1e-7), $"candidate {index} of {derivatives.Count}");
            if (curve.Candidates[index].Mass > 0)
            {
                derivatives[index].ShouldBe(count, count * 1e-6, $"candidate {index} of {derivatives.Count}, which has mass");
            }
        }
    }

    private static bool Covers(EventInterval observation, InnermostInterval candidate)
    {
        var end = observation.Through ?? double.PositiveInfinity;
        if (observation.IsExact)
        {
            return candidate.IsExact && candidate.After == observation.After;
        }
        var isWithinLeft = candidate.IsExact ? candidate.After > observation.After : candidate.After >= observation.After;
        return isWithinLeft && (candidate.Through ?? double.PositiveInfinity) <= end;
    }
}
