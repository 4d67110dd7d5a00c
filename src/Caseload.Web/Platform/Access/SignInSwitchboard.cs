using System.Collections.Concurrent;

namespace Caseload.Web.Platform.Access;

/// <summary>Tells open pages that the sign-in they run under is over.</summary>
public sealed class SignInSwitchboard
{
    private readonly ConcurrentDictionary<Line, bool> _lines = new();

    /// <summary>Listens for the end of a sign-in until the answer is disposed.</summary>
    /// <param name="signInId">The sign-in.</param>
    /// <param name="onEnded">Called once or more, on any thread.</param>
    public IDisposable Listen(Guid signInId, Action onEnded)
    {
        var line = new Line(this, signInId, onEnded);
        _lines[line] = true;
        return line;
    }

    /// <summary>Says that sign-ins ended.</summary>
    public void AnnounceEnded(IEnumerable<Guid> signInIds)
    {
        var ended = signInIds.ToHashSet();
        foreach (var line in _lines.Keys.Where(line => ended.Contains(line.SignInId)))
        {
            line.OnEnded();
        }
    }

    private sealed class Line(SignInSwitchboard board, Guid signInId, Action onEnded) : IDisposable
    {
        internal Guid SignInId => signInId;

        internal Action OnEnded => onEnded;

        public void Dispose() => board._lines.TryRemove(this, out _);
    }
}
