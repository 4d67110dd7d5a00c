using BenchmarkDotNet.Attributes;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using NodaTime;

namespace Caseload.Benchmarks;

/// <summary>Every item of a thousand invented children, once by the batch path and once by the plain engine.</summary>
[MemoryDiagnoser]
public class EngineBenchmarks
{
    /// <summary>How many children one run answers for.</summary>
    public const int Children = 1_000;

    private readonly Interpreter _interpreter = new(ReferenceSets.Default, ReviewPolicy.Default);
    private readonly PlainNodaTimeEngine _plain = new(ReviewPolicy.Default);

    // The batch path's caseload: one flat array of evidence, with the start of each child's each item.
    private ChildDays[] _childDays = [];
    private int[] _asOf = [];
    private int[] _starts = [];
    private DayEvidence[] _evidence = [];

    private (PlainChild Child, LocalDate On, List<PlainLook>[] Looks)[] _plainChildren = [];

    /// <summary>Invents the caseload and lays it out for both.</summary>
    [GlobalSetup]
    public void SetUp()
    {
        var set = _interpreter.Set;
        var caseload = new RandomCaseload(1, set, ReviewPolicy.Default);
        RandomChild[] children = [.. Enumerable.Range(0, Children).Select(_ => caseload.Next())];

        _childDays = [.. children.Select(child => ChildDays.Of(child.Facts.Birth, ReviewPolicy.Default, child.Facts.FollowedFromOn))];
        _asOf = [.. children.Select(child => child.AsOfOn.DayNumber)];
        var rows = children
            .SelectMany(child => child.Findings.Select((findings, index) => _interpreter.EvidenceOf(index, findings)))
            .ToList();
        _evidence = [.. rows.SelectMany(row => row)];
        _starts = new int[rows.Count + 1];
        for (var row = 0; row < rows.Count; row++)
        {
            _starts[row + 1] = _starts[row] + rows[row].Length;
        }

        _plainChildren =
        [
            .. children.Select(child =>
                (
                    EngineComparison.PlainOf(child.Facts),
                    LocalDate.FromDateOnly(child.AsOfOn),
                    child.Findings.Select((findings, index) => PlainNodaTimeEngine.Gather(set.Items[index], findings)).ToArray()
                )
            ),
        ];
    }

    /// <summary>The batch path.</summary>
    [Benchmark]
    public int Batch()
    {
        var count = _interpreter.Windows.Count;
        Span<int> days = stackalloc int[_interpreter.Windows.DayCount];
        var concerns = 0;
        for (var child = 0; child < _childDays.Length; child++)
        {
            ref readonly var childDays = ref _childDays[child];
            var asOf = _asOf[child];
            _interpreter.Windows.FillDays(childDays, days);
            for (var item = 0; item < count; item++)
            {
                var row = child * count + item;
                var window = _interpreter.Windows.WindowOf(item, childDays, days);
                var evidence = _evidence.AsSpan(_starts[row], _starts[row + 1] - _starts[row]);
                concerns += (int)_interpreter.Evaluate(item, window, evidence, childDays, asOf).Concern;
            }
        }
        return concerns;
    }

    /// <summary>The plain engine.</summary>
    [Benchmark(Baseline = true)]
    public int Plain()
    {
        var items = _interpreter.Set.Items;
        var concerns = 0;
        foreach (var (child, on, looks) in _plainChildren)
        {
            for (var item = 0; item < items.Count; item++)
            {
                concerns += (int)_plain.Assess(items[item], child, looks[item], on).Concern;
            }
        }
        return concerns;
    }
}
