using Caseload.Web.Platform;

namespace Caseload.Web.Features.Alerts;

/// <summary>Calls when alerts changed in this process, and every minute for what changed elsewhere or by the passing of time.</summary>
internal sealed class AlertWatch : IDisposable
{
    private static readonly TimeSpan _askEvery = TimeSpan.FromSeconds(60);

    private readonly IDisposable _line;
    private readonly ITimer _timer;

    /// <param name="notifier">Says what changed in this process.</param>
    /// <param name="time">The clock.</param>
    /// <param name="programmeId">The programme.</param>
    /// <param name="ask">Asks anew; called on any thread.</param>
    internal AlertWatch(ChangeNotifier notifier, TimeProvider time, Guid programmeId, Func<Task> ask)
    {
        _line = notifier.Listen(programmeId, () => _ = ask());
        _timer = time.CreateTimer(_ => _ = ask(), null, _askEvery, _askEvery);
    }

    public void Dispose()
    {
        _line.Dispose();
        _timer.Dispose();
    }
}
