using System.Runtime.InteropServices;

namespace Caseload.Domain.Statistics;

/// <summary>A share that is known only between two numbers.</summary>
/// <param name="Least">The share that has certainly got there, 0 to 1.</param>
/// <param name="Most">The share that may have, not below <paramref name="Least"/>.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct ShareBounds(double Least, double Most);

/// <summary>How confidence bounds are drawn: by taking the children again, at random and with repetition.</summary>
/// <param name="Seed">The same seed gives the same bounds.</param>
/// <param name="Resamples">How many times, 40 or more.</param>
/// <param name="Confidence">More than 0 and at most 0.9999.</param>
public sealed record Resampling(ulong Seed, int Resamples = 200, double Confidence = 0.95);

/// <summary>The share of children that have got somewhere by each age, estimated from looks that happen only now and then.</summary>
/// <remarks>
/// <para>
/// The nonparametric maximum-likelihood estimate for interval-censored times (Turnbull, Journal of the Royal Statistical Society B 38
/// (1976) 290). With exact ages and ages not yet reached only, it is the Kaplan–Meier estimate. Intervals are open on the left and
/// closed on the right; where one ends at the age at which another begins, the end comes first.
/// </para>
/// <para>
/// It assumes that the dates of looks do not depend on what is looked for, and that what was reached is not lost. Children who came late
/// are taken as if they had been followed from the beginning.
/// </para>
/// <para>Depends on the observations only, not on their order. Where several estimates are equally likely, always the same one is given.</para>
/// </remarks>
public sealed class TurnbullCurve
{
    private const double Tolerance = 1e-10;
    private const double ResampleTolerance = 1e-5;
    private const double HalfAllowance = 1e-9;
    private const int LeastResamples = 40;

    private readonly EventInterval[] _observations;

    private TurnbullCurve(EventInterval[] observations, InnermostInterval[] candidates, Optimum optimum)
    {
        _observations = observations;
        Candidates = candidates;
        Intervals = [.. candidates.Where(candidate => candidate.Mass > 0)];
        LogLikelihood = optimum.LogLikelihood;
        OptimalityGap = optimum.Gap;
        Steps = optimum.Steps;
    }

    /// <summary>How many children there are.</summary>
    public int Count => _observations.Length;

    /// <summary>The intervals that carry mass, by age; outside them the curve is level, inside one it is unspecified.</summary>
    public IReadOnlyList<InnermostInterval> Intervals { get; }

    /// <summary>Every interval that could carry mass, by age; those of no mass included.</summary>
    public IReadOnlyList<InnermostInterval> Candidates { get; }

    /// <summary>The natural logarithm of the likelihood of the observations under the estimate.</summary>
    public double LogLikelihood { get; }

    /// <summary>By how much at most another estimate could exceed <see cref="LogLikelihood"/>; 0 but for rounding.</summary>
    public double OptimalityGap { get; }

    /// <summary>Whether the estimate is the best one to within rounding, by the Kuhn–Tucker conditions.</summary>
    public bool IsOptimal => OptimalityGap <= 1e-7 * Count;

    /// <summary>The interval in which half of the children have got there; null when fewer than half are known to get there at all.</summary>
    /// <remarks>When one half is met exactly, the interval after which it is.</remarks>
    public InnermostInterval? Median
    {
        get
        {
            foreach (var interval in Intervals)
            {
                if (interval.RemainingAfter <= 0.5 + HalfAllowance)
                {
                    return interval.Through is null ? null : interval;
                }
            }
            return null;
        }
    }

    /// <summary>Steps of the search; for tests of its speed.</summary>
    internal int Steps { get; }

    /// <summary>Estimates.</summary>
    /// <param name="observations">One interval for each child, in any order; at least one.</param>
    /// <exception cref="ArgumentException">There is none.</exception>
    public static TurnbullCurve Of(IEnumerable<EventInterval> observations)
    {
        EventInterval[] ordered =
        [
            .. observations.OrderBy(observation => observation.After).ThenBy(observation => observation.Through ?? double.PositiveInfinity),
        ];
        if (ordered.Length == 0)
        {
            throw new ArgumentException("A curve needs at least one observation.", nameof(observations));
        }
        var weights = new int[ordered.Length];
        Array.Fill(weights, 1);
        var support = new InnermostSupport(ordered);
        support.Find(weights);
        var solver = new TurnbullSolver(support);
        var optimum = solver.Solve(weights, Tolerance);
        var candidates = new InnermostInterval[support.Count];
        var reached = 0.0;
        var last = solver.Mass.LastIndexOfAnyExcept(0.0);
        for (var index = 0; index < candidates.Length; index++)
        {
            var mass = solver.Mass[index];
            reached += mass;
            var remaining = index >= last ? 0 : Math.Clamp(1 - reached, 0, 1);
            candidates[index] = new InnermostInterval(support.AfterOf(index), support.ThroughOf(index), mass, remaining);
        }
        return new TurnbullCurve(ordered, candidates, optimum);
    }

    /// <summary>The share that has got there by an age, that age included.</summary>
    /// <remarks>Both bounds are equal but inside an interval that carries mass: there nothing says how much of its mass has come.</remarks>
    public ShareBounds ShareReachedBy(double age)
    {
        var least = 0.0;
        var most = 0.0;
        foreach (var interval in Intervals)
        {
            if (interval.Through <= age)
            {
                least = most = 1 - interval.RemainingAfter;
            }
            else if (!interval.IsExact && interval.After < age)
            {
                most = 1 - interval.RemainingAfter;
            }
        }
        return new ShareBounds(least, most);
    }

    /// <summary>How many children still inform the curve at an age: not known to have got there before it, and looked at until then or later.</summary>
    /// <remarks>
    /// A child counts up to and with the first age at which it is known to have got there; one that has not got there, up to and with the age
    /// at which that was last seen. With exact ages this is the number at risk of the Kaplan–Meier estimate. A child whose interval began
    /// before the age counts as well, because it may still have to get there.
    /// </remarks>
    public int AtRisk(double age) => _observations.Count(observation => (observation.Through ?? observation.After) >= age);

    /// <summary>Confidence bounds of the share that has got there by each of some ages, each age for itself.</summary>
    /// <remarks>
    /// Percentiles of the estimates from children drawn again: below, of the share that has certainly got there; above, of the share that
    /// may have; and never within <see cref="ShareReachedBy"/>. They are approximate: for interval-censored times this estimator
    /// converges more slowly than the theory of the bootstrap asks for, so that the real confidence can differ from the nominal one. They
    /// are meant to show how little a few children say, not to test a difference.
    /// </remarks>
    /// <param name="ages">The ages, in any order.</param>
    /// <param name="resampling">Seed, number and confidence.</param>
    /// <returns>One pair of bounds for each age, in the given order.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than 40 resamples, or a confidence outside its range.</exception>
    public IReadOnlyList<ConfidenceBounds> BoundsAt(IReadOnlyList<double> ages, Resampling resampling)
    {
        NormalQuantile.Check(resampling.Confidence);
        ArgumentOutOfRangeException.ThrowIfLessThan(resampling.Resamples, LeastResamples, nameof(resampling));
        var least = new double[ages.Count][];
        var most = new double[ages.Count][];
        for (var index = 0; index < ages.Count; index++)
        {
            least[index] = new double[resampling.Resamples];
            most[index] = new double[resampling.Resamples];
        }
        var support = new InnermostSupport(_observations);
        var solver = new TurnbullSolver(support);
        var weights = new int[Count];
        var draw = new SplitMix64(resampling.Seed);
        for (var resample = 0; resample < resampling.Resamples; resample++)
        {
            Array.Clear(weights);
            for (var drawn = 0; drawn < Count; drawn++)
            {
                weights[draw.Below(Count)]++;
            }
            support.Find(weights);
            solver.Solve(weights, ResampleTolerance);
            for (var index = 0; index < ages.Count; index++)
            {
                (least[index][resample], most[index][resample]) = ReachedBy(ages[index], support, solver.Mass);
            }
        }
        // The nearest rank: of 200 estimates at 95 percent, the fifth from either end.
        var rank = Math.Max(0, (int)Math.Ceiling((1 - resampling.Confidence) / 2 * resampling.Resamples - HalfAllowance) - 1);
        return
        [
            .. ages.Select(
                (age, index) =>
                {
                    Array.Sort(least[index]);
                    Array.Sort(most[index]);
                    var estimate = ShareReachedBy(age);
                    return new ConfidenceBounds(
                        Math.Min(estimate.Least, least[index][rank]),
                        Math.Max(estimate.Most, most[index][^(rank + 1)])
                    );
                }
            ),
        ];
    }

    private static (double Least, double Most) ReachedBy(double age, InnermostSupport support, ReadOnlySpan<double> mass)
    {
        var least = 0.0;
        var most = 0.0;
        for (var interval = 0; interval < mass.Length; interval++)
        {
            var after = support.AfterOf(interval);
            var through = support.ThroughOf(interval);
            least += through <= age ? mass[interval] : 0;
            most += through <= age || (after < age && after != through) ? mass[interval] : 0;
        }
        return (Math.Min(least, 1), Math.Min(most, 1));
    }
}
