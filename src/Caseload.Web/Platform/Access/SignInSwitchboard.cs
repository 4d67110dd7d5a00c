using System.Collections.Concurrent;

namespace Caseload.Web.Platform.Access;

/// <summary>Tells the open pages of this process that a sign-in is over; pages of other processes find out by asking.</summary>
public sealed class SignInSwitchboard
{
    private readonly ConcurrentDictionary<Line, bool> _lines = new();

    /// <summary>Listens until the answer is disposed.</summary>
    /// <param name="onEnded">Called with the id of each sign-in that ended, on any thread.</param>
    public IDisposable Listen(Action<Guid> onEnded)
    {
        var line = new Line(this, onEnded);
        _lines[line] = true;
        return line;
    }

    /// <summary>Says that sign-ins ended.</summary>
    public void AnnounceEnded(IEnumerable<Guid> signInIds)
    {
        foreach (var id in signInIds)
        {
            foreach (var line in _lines.Keys)
            {
                line.OnEnded(id);
            }
        }
    }

    private sealed class Line(SignInSwitchboard board, Action<Guid> onEnded) : IDisposable
    {
        internal Action<Guid> OnEnded => onEnded;

        public void Dispose() => board._lines.TryRemove(this, out _);
    }
}
