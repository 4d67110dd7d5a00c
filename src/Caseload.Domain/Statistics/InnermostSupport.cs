namespace Caseload.Domain.Statistics;

/// <summary>Which innermost intervals a weighted set of observations has, and which of them each observation covers.</summary>
/// <remarks>
/// Turnbull, Journal of the Royal Statistical Society B 38 (1976) 290: only stretches that begin with a left end and finish with the next
/// end, a right one, can carry mass. Ends at one age come in the order: beginning of an exact age, right ends, left ends. An observation
/// covers a run of neighbours.
/// </remarks>
internal sealed class InnermostSupport
{
    private readonly EventInterval[] _observations;
    private readonly int[] _observationAt;
    private readonly bool[] _isLeftAt;
    private readonly int[] _lefts;
    private readonly int[] _rights;
    private readonly int[] _first;
    private readonly int[] _last;
    private int _count;

    /// <summary>Sorts the ends once; <see cref="Find"/> can then be asked for many weights.</summary>
    internal InnermostSupport(EventInterval[] observations)
    {
        _observations = observations;
        var count = observations.Length;
        var ends = new List<(double Age, int Kind, int Observation)>(2 * count);
        for (var index = 0; index < count; index++)
        {
            var observation = observations[index];
            ends.Add((observation.After, observation.IsExact ? 0 : 2, index));
            ends.Add((observation.Through ?? double.PositiveInfinity, 1, index));
        }
        ends.Sort();
        _observationAt = [.. ends.Select(end => end.Observation)];
        _isLeftAt = [.. ends.Select(end => end.Kind != 1)];
        _lefts = new int[count];
        _rights = new int[count];
        _first = new int[count];
        _last = new int[count];
    }

    /// <summary>How many observations there are, those of no weight included.</summary>
    internal int ObservationCount => _observations.Length;

    /// <summary>How many innermost intervals were found.</summary>
    internal int Count => _count;

    /// <summary>The first innermost interval that each observation covers; without meaning for one of no weight.</summary>
    internal ReadOnlySpan<int> First => _first;

    /// <summary>The last innermost interval that each observation covers; likewise.</summary>
    internal ReadOnlySpan<int> Last => _last;

    /// <summary>The left end of an innermost interval.</summary>
    internal double AfterOf(int interval) => _observations[_lefts[interval]].After;

    /// <summary>The right end of an innermost interval; null when it has none.</summary>
    internal double? ThroughOf(int interval) => _observations[_rights[interval]].Through;

    /// <summary>Finds the innermost intervals of the observations that have a weight.</summary>
    internal void Find(ReadOnlySpan<int> weights)
    {
        _count = 0;
        var left = -1;
        for (var end = 0; end < _observationAt.Length; end++)
        {
            var observation = _observationAt[end];
            if (weights[observation] == 0)
            {
                continue;
            }
            if (_isLeftAt[end])
            {
                left = observation;
                _first[observation] = _count;
                continue;
            }
            if (left >= 0)
            {
                _lefts[_count] = left;
                _rights[_count] = observation;
                _count++;
                left = -1;
            }
            _last[observation] = _count - 1;
        }
    }
}
