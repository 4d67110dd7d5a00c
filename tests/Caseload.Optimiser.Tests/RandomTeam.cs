using Caseload.Domain.Assignment;
using Caseload.Domain.Interpretation;

namespace Caseload.Optimiser.Tests;

/// <summary>Teams and caseloads drawn at random, the same for the same seed.</summary>
internal static class RandomTeam
{
    private static readonly string[] _zones = ["North", "South", "East", "West"];
    private static readonly string[] _disciplines = ["occupational-therapy", "physical-therapy", "speech-language"];

    internal static AssignmentProblem Draw(int seed, int children, int clinicians, AssignmentScope? scope = null, bool isTight = true)
    {
        var random = new Random(seed);
        var team = Enumerable
            .Range(0, clinicians)
            .Select(number => new AssignmentClinician(
                Id(1, number),
                $"Clinician {number}",
                _disciplines[random.Next(_disciplines.Length)],
                random.Next(3) == 0 ? ["es"] : [],
                [_zones[random.Next(4)], _zones[random.Next(4)]],
                (isTight ? random.Next(0, 4) * 300 : 2400) + random.Next(600),
                random.Next(4) == 0 ? random.Next(1, 1 + (2 * children / clinicians) + 2) : null,
                random.Next(8) == 0
            ))
            .ToList();
        var cases = Enumerable
            .Range(0, children)
            .Select(number =>
            {
                Guid? current = random.Next(10) < 6 ? team[random.Next(clinicians)].Id : null;
                return new AssignmentChild(
                    Id(2, number),
                    $"K-{number:000}",
                    new WorkloadOfChild(
                        random.Next(1, 4),
                        random.Next(5) == 0 ? null : _zones[random.Next(4)],
                        random.Next(6),
                        Alerts(random)
                    ),
                    random.Next(4) == 0 ? "es" : null,
                    random.Next(4) == 0 ? _disciplines[random.Next(_disciplines.Length)] : null,
                    current is null ? random.Next(60) : 0,
                    random.Next(6) == 0,
                    current,
                    current is null ? 0 : random.Next(80),
                    current is not null && random.Next(8) == 0,
                    random.Next(6) == 0 ? [team[random.Next(clinicians)].Id] : []
                );
            })
            .ToList();
        return new AssignmentProblem(
            cases,
            team,
            WorkloadPolicy.Default,
            scope ?? (AssignmentScope)random.Next(3),
            team[random.Next(clinicians)].Id,
            random.Next(2) == 0
        );
    }

    private static List<Concern> Alerts(Random random) => [.. Enumerable.Range(0, random.Next(3)).Select(_ => (Concern)random.Next(1, 5))];

    private static Guid Id(int kind, int number) => new(kind, (short)(number >> 8), (short)(number & 255), new byte[8]);
}
