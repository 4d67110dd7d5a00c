using Caseload.Data.Alerts;
using Caseload.Data.Digests;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform.Digests;

namespace Caseload.Components.Tests.Digest;

/// <summary>Digests of invented children, the same at every run.</summary>
internal static class SampleDigest
{
    internal static readonly Guid Id = new("00000000-0000-7000-8000-0000000000d1");
    internal static readonly Guid[] Children = [.. Enumerable.Range(1, 5).Select(number => new Guid(number, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0))];
    internal static readonly DateOnly AsOfOn = new(2026, 11, 23);

    private static readonly Guid _clinicianId = new("00000000-0000-7000-8000-0000000000c1");

    /// <summary>A clinician's, with something in every part.</summary>
    internal static DigestContent Full { get; } =
        new(
            DigestScope.Clinician,
            "2026-W48",
            AsOfOn,
            18,
            [
                new(Children[0], "K-001", "K-001", null),
                new(Children[1], "K-002", "K-002 (A.B.)", null),
                new(Children[2], "K-003", "K-003", "MB"),
                new(Children[3], "K-004", "K-004 (Å.<b>)", null),
                new(Children[4], "K-005", "K-005", null),
            ],
            [
                new(Children[0], "Moro reflex", 2, new DateOnly(2026, 11, 20), 11, PersistingTrend.New),
                new(Children[1], "Asymmetrical tonic neck reflex (ATNR)", 1, new DateOnly(2026, 10, 5), 5, PersistingTrend.Stronger),
                new(Children[2], "Palmar grasp", 1, null, 0, PersistingTrend.NotSeenAgain),
            ],
            [
                new(
                    Children[3],
                    AlertKind.UrgentSign,
                    "Urgent sign: pauses in breathing",
                    Concern.SameDay,
                    new DateOnly(2026, 11, 21),
                    null
                ),
                new(
                    Children[0],
                    AlertKind.Persisting,
                    "Moro reflex: still there past the latest published limit",
                    Concern.Act,
                    new DateOnly(2026, 11, 20),
                    null
                ),
            ],
            [
                new(
                    Children[4],
                    AlertKind.NotVisited,
                    "No visit for longer than the programme allows",
                    Concern.Watch,
                    new DateOnly(2026, 11, 2),
                    AlertEnd.Visited
                ),
            ],
            [new(Children[1], "Galant reflex", 1), new(Children[2], "Rooting", 12)],
            [new(Children[2], "Plantar grasp", new DateOnly(2026, 10, 20), new DateOnly(2026, 11, 17))],
            [
                new(
                    Children[2],
                    new DateOnly(2026, 11, 17),
                    [
                        new("Plantar grasp", CheckPurpose.Confirm, new DateOnly(2026, 11, 17), true),
                        new("Landau reaction, which has a long name", CheckPurpose.BeforeDeadline, new DateOnly(2026, 11, 30), false),
                    ],
                    3
                ),
                new(Children[4], new DateOnly(2026, 11, 26), [new("Stepping", CheckPurpose.Recheck, new DateOnly(2026, 11, 26), false)], 0),
            ],
            [new(Children[4], "Stepping & placing", new DateOnly(2026, 11, 19))],
            [new(Children[1], new DateOnly(2026, 9, 14), 10), new(Children[3], null, 9)],
            [],
            null
        );

    /// <summary>A clinician's in a week without anything.</summary>
    internal static DigestContent Empty { get; } =
        new(DigestScope.Clinician, "2027-W01", new DateOnly(2027, 1, 4), 0, [], [], [], [], [], [], [], [], [], [], null);

    /// <summary>A team lead's.</summary>
    internal static DigestContent Team { get; } =
        Full with
        {
            Scope = DigestScope.Programme,
            WithoutClinician = [Children[4]],
            DeadlinesPassed = [.. Enumerable.Range(1, 10).Select(weeks => new DigestDeadline(Children[0], $"Item {weeks}", weeks))],
            // More than a message shows.
            Integrated =
            [
                .. Enumerable
                    .Range(1, 23)
                    .Select(number => new DigestIntegrated(Children[4], $"Item {number}", new DateOnly(2026, 11, 19))),
            ],
            Team = new DigestTeam(
                Points([0, 1, 1, 2, 3, 3, 2, 4, 4, 3, 3, 3], [12, 10, 14, 9, 8, 8, 11, 13, 20, 18, 16, 15]),
                [
                    new(
                        _clinicianId,
                        "MB",
                        12,
                        2,
                        11,
                        1,
                        [new(Concern.SameDay, 1), new(Concern.Act, 2)],
                        Points([0, 1, 1, 1, 2, 2, 1, 2, 2, 2, 2, 2], [9, 8, 10, 9, 8, 8, 8, 8, 12, 12, 12, 11])
                    ),
                    new(null, "", 6, 1, 4, 0, [], Points([0, 0, 0, 1, 1, 1, 1, 2, 2, 1, 1, 1], [3, 2, 4, 0, 0, 0, 3, 5, 8, 6, 4, 4])),
                ]
            ),
        };

    private static DigestPoint[] Points(int[] persisting, int[] overdue) =>
        [
            .. persisting
                .Zip(overdue, (one, other) => (one, other))
                .Select((pair, index) => new DigestPoint($"2026-W{37 + index}", pair.one, pair.other)),
        ];
}
