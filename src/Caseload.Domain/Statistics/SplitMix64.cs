namespace Caseload.Domain.Statistics;

/// <summary>A sequence of numbers that look random and follow from a seed alone, on every machine and runtime.</summary>
/// <remarks>
/// The mixing of Steele, Lea and Flood, "Fast splittable pseudorandom number generators" (OOPSLA 2014). Good enough to draw children
/// again, and nothing for secrets.
/// </remarks>
internal struct SplitMix64(ulong seed)
{
    private ulong _state = seed;

    /// <summary>The next number, anywhere from 0 to the largest.</summary>
    internal ulong Next()
    {
        unchecked
        {
            _state += 0x9E3779B97F4A7C15;
            var mixed = _state;
            mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9;
            mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB;
            return mixed ^ (mixed >> 31);
        }
    }

    /// <summary>The next number from 0 to one below a limit; uneven by less than the limit in 2^64.</summary>
    internal int Below(int limit) => (int)Math.BigMul(Next(), (ulong)limit, out _);
}
