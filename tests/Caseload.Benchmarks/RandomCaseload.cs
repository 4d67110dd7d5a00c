using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Benchmarks;

/// <summary>One invented child: its facts, the day of the question, and its findings by item of the set.</summary>
internal sealed record RandomChild(ChildFacts Facts, DateOnly AsOfOn, IReadOnlyList<List<Finding>> Findings);

/// <summary>Invents children from a seed. Findings crowd around the days on which rules turn, because that is where engines differ.</summary>
internal sealed class RandomCaseload(int seed, ReferenceSet set, ReviewPolicy policy)
{
    private static readonly int[] Shifts = [-1, 0, 1, 2, 6, 7, 8, 13, 14, 15];

    private readonly Random _random = new(seed);
    private readonly WindowTable _windows = new(set);
    private int _nextId;

    /// <summary>The next child.</summary>
    internal RandomChild Next()
    {
        var bornOn = new DateOnly(2019, 1, 1).AddDays(_random.Next(2200));
        int? gestationDays = _random.Next(100) switch
        {
            < 8 => null,
            < 60 => _random.Next(GestationalAge.MinimumDays, GestationalAge.TermBirthDays),
            _ => _random.Next(GestationalAge.TermBirthDays, GestationalAge.MaximumDays + 1),
        };
        var birth = BirthFacts.Restore(bornOn, gestationDays);
        DateOnly? followedFromOn = _random.Next(2) == 0 ? null : bornOn.AddDays(_random.Next(400));
        var days = ChildDays.Of(birth, policy, followedFromOn);
        Span<int> turns = stackalloc int[_windows.DayCount];
        _windows.FillDays(days, turns);

        var findings = new List<Finding>[set.Items.Count];
        for (var index = 0; index < findings.Length; index++)
        {
            findings[index] = FindingsOf(set.Items[index], _windows.WindowOf(index, days, turns), days.BornDay);
        }
        var asOfOn = bornOn.AddDays(_random.Next(_random.Next(4) == 0 ? 1900 : 500));
        return new RandomChild(new ChildFacts(birth, followedFromOn), asOfOn, findings);
    }

    private List<Finding> FindingsOf(ReferenceItem item, in ItemWindow window, int bornDay)
    {
        var findings = new List<Finding>();
        var count = _random.Next(7) - 1;
        var day = bornDay;
        for (var number = 0; number < count; number++)
        {
            day = DayOf(window, bornDay, day);
            findings.Add(FindingOn(item, day));
        }
        return findings;
    }

    private int DayOf(in ItemWindow window, int bornDay, int before)
    {
        var turn = _random.Next(11) switch
        {
            0 => window.ExpectedFrom,
            1 => window.UsualFrom,
            2 or 3 => window.UsualThrough,
            4 => window.LatestThrough,
            5 => window.AbsenceThrough,
            6 => window.PartialThrough,
            7 => window.EndsFrom,
            8 => window.EndsThrough,
            9 => before,
            _ => bornDay + _random.Next(600),
        };
        var around = turn == ItemWindow.None ? before : turn;
        return Math.Max(bornDay, around + Shifts[_random.Next(Shifts.Length)]);
    }

    private Finding FindingOn(ReferenceItem item, int day)
    {
        var words = item.Responses;
        var isTested = _random.Next(12) != 0;
        var side = item.Sided == Sidedness.None ? Side.Both : (Side)Math.Max(0, _random.Next(7) - 4);
        BehaviouralState? state = _random.Next(6) switch
        {
            0 => null,
            1 => (BehaviouralState)_random.Next(6),
            _ => item.States.Best[0],
        };
        var response = _random.Next(5) < 2 ? Response.Absent : words[_random.Next(words.Count)];
        return new Finding(
            new Guid(_nextId++, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0),
            item.Id,
            DateOnly.FromDayNumber(day),
            side,
            isTested ? response : null,
            state,
            isTested ? null : NotTestedReason.EnoughHandling
        );
    }
}
