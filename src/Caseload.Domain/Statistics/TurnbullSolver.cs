using System.Runtime.InteropServices;

namespace Caseload.Domain.Statistics;

/// <summary>How far a search for the largest likelihood came.</summary>
/// <param name="LogLikelihood">The log-likelihood reached.</param>
/// <param name="Gap">By how much at most a better estimate could exceed it.</param>
/// <param name="Steps">How many steps were taken after the first expectations.</param>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct Optimum(double LogLikelihood, double Gap, int Steps);

/// <summary>Finds the masses of the innermost intervals that make the observations most likely.</summary>
/// <remarks>
/// <para>
/// Twenty steps of expectation and maximization, then Newton's method on the intervals that may carry mass, projected so that no mass
/// becomes negative; an interval is taken up again as soon as the Kuhn–Tucker conditions say so (Gentleman and Geyer, Biometrika 81
/// (1994) 618). Masses need not be held to the sum of one: with the observations' number times that sum subtracted, the largest value
/// has it by itself. A step is only taken upwards, and where Newton finds none, <see cref="Lift"/> does.
/// </para>
/// <para>
/// With d the derivatives of the log-likelihood and n the number of observations, the largest value is reached when d = n for every
/// interval with mass and d ≤ n for the others. As the log-likelihood is concave, it lies at most max d − n below the largest one.
/// </para>
/// <para>Holds work space: one instance serves one thread.</para>
/// </remarks>
internal sealed class TurnbullSolver
{
    private const int FirstExpectations = 20;
    private const int MostSteps = 2_000;
    private const int MostHalvings = 40;
    private const double Negligible = 1e-10;

    private readonly InnermostSupport _support;
    private readonly double[] _running;
    private readonly double[] _covered;
    private readonly double[] _trial;
    private readonly double[] _direction;
    private readonly double[] _slope;
    private readonly double[] _mass;
    private readonly int[] _free;
    private double[] _curvature = [];
    private double[] _factor = [];

    internal TurnbullSolver(InnermostSupport support)
    {
        var most = support.ObservationCount;
        _support = support;
        _running = new double[most + 1];
        _covered = new double[most];
        _trial = new double[most];
        _direction = new double[most];
        _slope = new double[most];
        _mass = new double[most];
        _free = new int[most];
    }

    /// <summary>The masses found last, in the order of the support's intervals; they sum to one.</summary>
    internal ReadOnlySpan<double> Mass => _mass.AsSpan(0, _support.Count);

    /// <summary>Searches the masses for the support as it was found last.</summary>
    /// <param name="weights">How often each observation counts; the same as given to the support.</param>
    /// <param name="tolerance">The gap, for each observation, below which the search is over.</param>
    internal Optimum Solve(ReadOnlySpan<int> weights, double tolerance)
    {
        var total = 0;
        foreach (var weight in weights)
        {
            total += weight;
        }
        var mass = _mass.AsSpan(0, _support.Count);
        if (_curvature.Length < mass.Length * mass.Length)
        {
            _curvature = new double[mass.Length * mass.Length];
            _factor = new double[mass.Length * mass.Length];
        }
        mass.Fill(1.0 / mass.Length);
        var reached = Climb(weights, mass, total);
        for (var step = 0; step < FirstExpectations; step++)
        {
            reached = Expect(weights, mass, total);
        }
        var steps = 0;
        while (steps < MostSteps && !IsOptimal(mass, tolerance * total))
        {
            steps++;
            reached = TryNewton(weights, mass, reached, total) ? Climb(weights, mass, total) : Lift(weights, mass, total);
        }
        var sum = 0.0;
        foreach (ref var share in mass)
        {
            share = share < Negligible ? 0 : share;
            sum += share;
        }
        Scale(mass, 1 / sum);
        reached = Climb(weights, mass, total);
        return new Optimum(reached, Math.Max(0, Highest(_slope.AsSpan(0, mass.Length))), steps);
    }

    private static double Highest(ReadOnlySpan<double> values)
    {
        var highest = double.NegativeInfinity;
        foreach (var value in values)
        {
            highest = Math.Max(highest, value);
        }
        return highest;
    }

    private static void Scale(Span<double> values, double by)
    {
        foreach (ref var value in values)
        {
            value *= by;
        }
    }

    /// <summary>The log-likelihood of some masses; minus infinity when they make an observation impossible.</summary>
    private double LogLikelihood(ReadOnlySpan<int> weights, ReadOnlySpan<double> mass)
    {
        for (var interval = 0; interval < mass.Length; interval++)
        {
            _running[interval + 1] = _running[interval] + mass[interval];
        }
        var first = _support.First;
        var last = _support.Last;
        var sum = 0.0;
        for (var index = 0; index < weights.Length; index++)
        {
            if (weights[index] == 0)
            {
                continue;
            }
            var covered = _running[last[index] + 1] - _running[first[index]];
            if (covered <= 0)
            {
                return double.NegativeInfinity;
            }
            _covered[index] = covered;
            sum += weights[index] * Math.Log(covered);
        }
        return sum;
    }

    /// <summary>The log-likelihood, with the slopes d − n left behind.</summary>
    private double Climb(ReadOnlySpan<int> weights, ReadOnlySpan<double> mass, int total)
    {
        var reached = LogLikelihood(weights, mass);
        var slope = _slope.AsSpan(0, mass.Length);
        slope.Clear();
        for (var index = 0; index < weights.Length; index++)
        {
            if (weights[index] == 0)
            {
                continue;
            }
            var pull = weights[index] / _covered[index];
            slope[_support.First[index]] += pull;
            if (_support.Last[index] + 1 < slope.Length)
            {
                slope[_support.Last[index] + 1] -= pull;
            }
        }
        var sum = 0.0;
        foreach (ref var each in slope)
        {
            sum += each;
            each = sum - total;
        }
        return reached;
    }

    private double Expect(ReadOnlySpan<int> weights, Span<double> mass, int total)
    {
        for (var interval = 0; interval < mass.Length; interval++)
        {
            mass[interval] *= Math.Max(0, 1 + _slope[interval] / total);
        }
        return Climb(weights, mass, total);
    }

    /// <summary>Moves some mass to the interval that asks for it most, and then expects once.</summary>
    /// <remarks>Slow, but it never comes to rest below the top (Böhning's vertex direction), which expectation alone may, having lost an interval.</remarks>
    private double Lift(ReadOnlySpan<int> weights, Span<double> mass, int total)
    {
        var reached = LogLikelihood(weights, mass);
        var highest = 0;
        for (var interval = 1; interval < mass.Length; interval++)
        {
            highest = _slope[interval] > _slope[highest] ? interval : highest;
        }
        var trial = _trial.AsSpan(0, mass.Length);
        var moved = 0.5;
        for (var halving = 0; halving < MostHalvings && _slope[highest] > 0; halving++, moved /= 2)
        {
            mass.CopyTo(trial);
            Scale(trial, 1 - moved);
            trial[highest] += moved;
            if (LogLikelihood(weights, trial) > reached)
            {
                trial.CopyTo(mass);
                break;
            }
        }
        Climb(weights, mass, total);
        return Expect(weights, mass, total);
    }

    private bool IsOptimal(ReadOnlySpan<double> mass, double tolerance)
    {
        for (var interval = 0; interval < mass.Length; interval++)
        {
            // What carries no more than rounding may be given up in the end.
            if (_slope[interval] > tolerance || (mass[interval] > Negligible && _slope[interval] < -tolerance))
            {
                return false;
            }
        }
        return true;
    }

    private bool TryNewton(ReadOnlySpan<int> weights, Span<double> mass, double reached, int total)
    {
        var trial = _trial.AsSpan(0, mass.Length);
        var near = Math.Min(1e-3 / mass.Length, Math.Max(Negligible, Highest(_slope.AsSpan(0, mass.Length)) / total));
        var free = 0;
        for (var interval = 0; interval < mass.Length; interval++)
        {
            if (mass[interval] > near || _slope[interval] > 0)
            {
                _free[free++] = interval;
            }
        }
        FindDirection(weights, mass.Length, free);
        var length = 1.0;
        for (var halving = 0; halving < MostHalvings; halving++, length /= 2)
        {
            trial.Clear();
            for (var position = 0; position < free; position++)
            {
                var interval = _free[position];
                trial[interval] = Math.Max(0, mass[interval] + length * _direction[position]);
            }
            var sum = 0.0;
            var promised = 0.0;
            for (var interval = 0; interval < trial.Length; interval++)
            {
                sum += trial[interval];
                promised += _slope[interval] * (trial[interval] - mass[interval]);
            }
            // The allowance is for rounding, which is all that is left of the promise near the top.
            var gained = LogLikelihood(weights, trial) - reached - total * (sum - 1);
            if (promised > 0 && gained >= 1e-4 * promised - 1e-13 * (1 + Math.Abs(reached)))
            {
                trial.CopyTo(mass);
                Scale(mass, 1 / sum);
                return true;
            }
        }
        // The slopes still belong to the masses as they were.
        return false;
    }

    /// <summary>Newton's direction for the free intervals: the curvature's inverse times the slope.</summary>
    private void FindDirection(ReadOnlySpan<int> weights, int count, int free)
    {
        FillCurvature(weights, count);
        var largest = 0.0;
        for (var interval = 0; interval < count; interval++)
        {
            largest = Math.Max(largest, _curvature[interval * count + interval]);
        }
        // Intervals that no observation tells apart from others would leave the direction undetermined.
        var ridge = 1e-11 * largest;
        for (var row = 0; row < free; row++)
        {
            var rowFactor = _factor.AsSpan(row * free, free);
            for (var column = 0; column <= row; column++)
            {
                var columnFactor = _factor.AsSpan(column * free, free);
                var rest = _curvature[_free[column] * count + _free[row]];
                for (var before = 0; before < column; before++)
                {
                    rest -= rowFactor[before] * columnFactor[before];
                }
                rowFactor[column] = column == row ? Math.Sqrt(Math.Max(rest + ridge, ridge)) : rest / columnFactor[column];
            }
        }
        for (var row = 0; row < free; row++)
        {
            var rest = _slope[_free[row]];
            for (var before = 0; before < row; before++)
            {
                rest -= _factor[row * free + before] * _direction[before];
            }
            _direction[row] = rest / _factor[row * free + row];
        }
        for (var row = free - 1; row >= 0; row--)
        {
            var rest = _direction[row];
            for (var after = row + 1; after < free; after++)
            {
                rest -= _factor[after * free + row] * _direction[after];
            }
            _direction[row] = rest / _factor[row * free + row];
        }
    }

    /// <summary>For two intervals, the sum of weight / covered² over the observations that cover both; row not after column.</summary>
    private void FillCurvature(ReadOnlySpan<int> weights, int count)
    {
        var curvature = _curvature.AsSpan(0, count * count);
        curvature.Clear();
        for (var index = 0; index < weights.Length; index++)
        {
            if (weights[index] != 0)
            {
                var covered = _covered[index];
                curvature[_support.First[index] * count + _support.Last[index]] += weights[index] / (covered * covered);
            }
        }
        for (var row = 0; row < count; row++)
        {
            var above = row == 0 ? default : curvature.Slice((row - 1) * count, count);
            var here = curvature.Slice(row * count, count);
            var sum = 0.0;
            for (var column = count - 1; column >= row; column--)
            {
                sum += here[column];
                here[column] = sum + (row == 0 ? 0 : above[column]);
            }
        }
    }
}
