using System.Collections.Concurrent;

namespace Caseload.Web.Platform;

/// <summary>
/// Tells the open pages of this process that a programme's alerts changed; raised after the save, by whoever changed them. Pages of other
/// processes find out by asking now and then.
/// </summary>
public sealed class ChangeNotifier
{
    private readonly ConcurrentDictionary<Line, bool> _lines = new();

    /// <summary>Listens until the answer is disposed.</summary>
    /// <param name="programmeId">The programme.</param>
    /// <param name="onChanged">Called after each change, on any thread; must return at once.</param>
    public IDisposable Listen(Guid programmeId, Action onChanged)
    {
        var line = new Line(this, programmeId, onChanged);
        _lines[line] = true;
        return line;
    }

    /// <summary>Says that a programme's alerts changed.</summary>
    public void Changed(Guid programmeId)
    {
        foreach (var line in _lines.Keys.Where(line => line.ProgrammeId == programmeId))
        {
            line.OnChanged();
        }
    }

    private sealed class Line(ChangeNotifier notifier, Guid programmeId, Action onChanged) : IDisposable
    {
        internal Guid ProgrammeId => programmeId;

        internal Action OnChanged => onChanged;

        public void Dispose() => notifier._lines.TryRemove(this, out _);
    }
}
