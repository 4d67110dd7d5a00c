using System.IO.MemoryMappedFiles;

namespace Caseload.Integration.Tests.Year;

/// <summary>One clock for several processes, and the turns in which they work: a file that all of them have in memory.</summary>
/// <remarks>The clock stands while the nodes work. So a lease ends because a test lets time go by, and not because the machine is busy.</remarks>
internal sealed class SharedClock : TimeProvider, IDisposable
{
    private const int TicksAt = 0;
    private const int TurnAt = 8;
    private const int FirstNodeAt = 16;
    private const int Length = 256;

    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _view;

    internal SharedClock(string path)
    {
        _file = MemoryMappedFile.CreateFromFile(path, FileMode.OpenOrCreate, mapName: null, Length);
        _view = _file.CreateViewAccessor();
    }

    /// <summary>The turn that the nodes are to work.</summary>
    internal long Turn => _view.ReadInt64(TurnAt);

    public override DateTimeOffset GetUtcNow() => new(_view.ReadInt64(TicksAt), TimeSpan.Zero);

    /// <summary>Sets the clock and lets every node work once.</summary>
    internal void Show(DateTimeOffset at)
    {
        _view.Write(TicksAt, at.UtcTicks);
        _view.Write(TurnAt, Turn + 1);
    }

    /// <summary>The last turn that a node has worked.</summary>
    internal long WorkedBy(int node) => _view.ReadInt64(FirstNodeAt + (8 * node));

    internal void PutWorked(int node, long turn) => _view.Write(FirstNodeAt + (8 * node), turn);

    public void Dispose()
    {
        _view.Dispose();
        _file.Dispose();
    }
}
