using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using System.Threading.Channels;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Makes a continuous job look at once, in this process; for after a commit that gave it something to do. One per process.</summary>
/// <remarks>A nudge that is lost with its process costs nothing but the time until the job looks by itself.</remarks>
public sealed class JobSignal
{
    private readonly ConcurrentDictionary<string, bool> _waiting = new(StringComparer.Ordinal);
    private readonly Channel<string> _names = Channel.CreateUnbounded<string>();

    /// <summary>Asks for a look; returns at once. Nudges that come before the job begins are one.</summary>
    /// <param name="jobName">The job's <see cref="ContinuousJob.Name"/>.</param>
    public void Nudge(string jobName)
    {
        if (_waiting.TryAdd(jobName, true))
        {
            _names.Writer.TryWrite(jobName);
        }
    }

    /// <summary>The names of jobs as they are nudged, until cancelled.</summary>
    public async IAsyncEnumerable<string> ReadAsync([EnumeratorCancellation] CancellationToken ct)
    {
        await foreach (var name in _names.Reader.ReadAllAsync(ct))
        {
            // Before the job looks, so that a nudge during the look makes it look again.
            _waiting.TryRemove(name, out _);
            yield return name;
        }
    }
}
