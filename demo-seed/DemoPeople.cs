using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Reference;

namespace Caseload.DemoSeed;

/// <summary>An invented clinician.</summary>
internal sealed record DemoClinician(string Name, string Initials, Discipline Discipline)
{
    /// <summary>Languages besides English.</summary>
    internal IReadOnlyList<string> Languages { get; init; } = [];

    /// <summary>Travel zones, the home zone first.</summary>
    internal IReadOnlyList<string> Zones { get; init; } = [];

    /// <summary>Working days; null for Monday through Friday.</summary>
    internal IReadOnlyList<DayOfWeek>? WorkingDays { get; init; }
}

/// <summary>An invented person who sees no children of their own.</summary>
internal sealed record DemoOfficer(string Name, Role Role);

/// <summary>How the programme's visits to a child go.</summary>
internal enum Attendance
{
    /// <summary>Visits when something is due.</summary>
    Regular,

    /// <summary>No visit for some weeks: the family travelled.</summary>
    Lapsed,

    /// <summary>Came to the programme last week.</summary>
    JustEnrolled,

    /// <summary>The case was closed some weeks ago.</summary>
    Closed,
}

/// <summary>An invented child before any date is fixed.</summary>
/// <param name="GestationDays">Gestation; null when unknown.</param>
/// <param name="AgeMonths">Age today: corrected as long as the programme corrects, from birth after that.</param>
/// <param name="Attendance">How visits go.</param>
internal sealed record DemoChild(int? GestationDays, double AgeMonths, Attendance Attendance = Attendance.Regular)
{
    /// <summary>What sets the child apart, by item.</summary>
    internal IReadOnlyDictionary<string, Twist> Twists { get; init; } = new Dictionary<string, Twist>();

    /// <summary>Conditions, with the ages in days at which they begin and end.</summary>
    internal IReadOnlyList<(Exclusion Exclusion, int FromDay, int? ThroughDay, string? Note)> Exclusions { get; init; } = [];

    /// <summary>Recorded concerns.</summary>
    internal IReadOnlyList<(string Concern, bool IsResolved)> Concerns { get; init; } = [];

    /// <summary>Whether the child has no clinician any more and waits for the next.</summary>
    internal bool IsGivenBack { get; init; }

    /// <summary>A note for colleagues.</summary>
    internal string? Note { get; init; }
}

/// <summary>Everybody in the demo programme. All names are invented on purpose to sound so.</summary>
internal static class DemoPeople
{
    /// <summary>Those who look after people, answer for the programme, or read it.</summary>
    internal static readonly DemoOfficer[] Officers =
    [
        new("Ambrose Inkpen", Role.Administrator),
        new(LeadName, Role.TeamLead),
        new("Cordelia Mossgrove", Role.Observer),
    ];

    internal static readonly DemoClinician[] Clinicians =
    [
        new("Marigold Penhallow", "MP", Discipline.OccupationalTherapy) { Languages = ["es"], Zones = ["Riverside", "Old Town"] },
        new("Barnaby Thistle", "BT", Discipline.PhysicalTherapy) { Zones = ["Hillcrest", "Old Town"] },
        new("Odette Fennimore", "OF", Discipline.OccupationalTherapy)
        {
            Zones = ["Riverside", "Lakes"],
            WorkingDays = [DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday],
        },
        new("Casper Wrenfield", "CW", Discipline.SpeechLanguage) { Languages = ["es", "pl"], Zones = ["Lakes", "Hillcrest"] },
    ];

    /// <summary>Who gives children to clinicians.</summary>
    internal const string LeadName = "Isadora Plumtree";

    /// <summary>The programme's travel zones.</summary>
    internal static readonly string[] Zones = ["Riverside", "Old Town", "Hillcrest", "Lakes"];

    /// <summary>The language that the family of the child with this number needs; null for English.</summary>
    internal static string? LanguageOf(int number) =>
        (number % 11) switch
        {
            3 => "es",
            8 => "pl",
            _ => null,
        };

    private static readonly string[] _givenNames = (
        "Juniper Otto Clementine Fennel Tansy Barley Saffron Linnet Pascal Wilhelmina "
        + "Bramble Cosmo Dahlia Ferris Gentian Hollis Isolde Jasper Kestrel Lupin "
        + "Maple Nimbus Olive Pepper Quincy Rowan Sorrel Teasel Umber Verbena "
        + "Willow Xanthe Yarrow Zinnia Alder Bluebell Cricket Dove Ember Finch "
        + "Garnet Hazel Indigo Jonquil Kit Lark Marlow Nettle Opal Plum "
        + "Rue Sable Thyme Ursa Vesper Wren Yewan Zephyr Aster Birch"
    ).Split(' ');

    private static readonly string[] _familyNames = (
        "Quill Brindle Applewhistle Cobblepot Dandelyon Everbright Featherstitch Gingerbank Honeydew Inkwell "
        + "Jellicoe-Moss Kettleby Lanternjack Mossgrove Nutmegg Oatcastle Puddlewick Quickstep Rainbarrel Snowberry "
        + "Thimblewood Underhedge Vinegarten Wobblestone Yellowbarn Zigzagger Acornby Buttonhook Candlewax Driftwell"
    ).Split(' ');

    /// <summary>The name of the child with this number.</summary>
    internal static (string Given, string Family) NameOf(int index) =>
        (_givenNames[index % _givenNames.Length], _familyNames[(index * 7 + index / _familyNames.Length) % _familyNames.Length]);

    /// <summary>The children, those with a story first.</summary>
    internal static IReadOnlyList<DemoChild> Children { get; } = [.. WithStories(), .. Usual()];

    private static IEnumerable<DemoChild> WithStories() =>
        [
            new(Weeks(39), 8.2)
            {
                Twists = Twists(("palmar_grasp", Twist.Stays)),
                Concerns = [("object-release", false)],
                Note = "Holds toys well, finds it hard to let go of them.",
            },
            new(Weeks(29, 3), 9.1)
            {
                Twists = Twists(("moro", Twist.Stays), ("tlr_supine", Twist.Stays)),
                Concerns = [("head-control", false), ("startling", false)],
            },
            new(Weeks(38, 2), 3.4) { Twists = Twists(("atnr", Twist.HoldsTheChild)), Concerns = [("midline-play", false)] },
            new(Weeks(40, 5), 2.4)
            {
                Twists = Twists(("palmar_grasp", Twist.LeftIsWeak)),
                Exclusions = [(Exclusion.FractureOrPlexusInjury, 0, null, "Left brachial plexus, seen by the hand clinic.")],
            },
            new(Weeks(37, 6), 10.3) { Twists = Twists(("rooting", Twist.ComesBack)), Note = "Family reports new sleepiness." },
            new(Weeks(36, 1), 1.5) { Twists = Twists(("moro", Twist.NeverThere), ("traction", Twist.NeverThere)) },
            new(Weeks(32), 7.6)
            {
                Twists = Twists(("landau", Twist.NeverThere), ("labyrinthine_righting", Twist.NeverWhole)),
                Concerns = [("head-control", false)],
            },
            new(Weeks(27, 2), 14.6)
            {
                Twists = Twists(("equilibrium_sitting", Twist.NeverThere), ("protective_forward", Twist.NeverWhole)),
                Concerns = [("sitting", false)],
            },
            new(null, 9.7) { Twists = Twists(("protective_sideways", Twist.LeftIsWeak)) },
            new(Weeks(40), 11.2, Attendance.JustEnrolled) { Concerns = [("crawling", false)] },
            new(Weeks(33, 4), 5.9, Attendance.JustEnrolled),
            new(Weeks(38), 9.2) { Twists = Twists(("optical_righting", Twist.IsLost)) },
            new(Weeks(31, 5), 6.4, Attendance.Lapsed),
            new(Weeks(39, 4), 4.6, Attendance.Lapsed),
            new(Weeks(35, 2), 12.4, Attendance.Lapsed),
            new(Weeks(26), 19.5)
            {
                Twists = Twists(("plantar_grasp", Twist.Stays), ("babinski", Twist.Stays)),
                Concerns = [("toe-walking", false)],
            },
            new(Weeks(34, 6), -0.4),
            new(Weeks(24, 5), 1.1)
            {
                Exclusions = [(Exclusion.Reflux, 60, null, null), (Exclusion.AspirationRisk, 0, 100, "Tube feeds until discharge.")],
            },
            new(Weeks(39, 1), 5.4)
            {
                Exclusions = [(Exclusion.HipDysplasia, 30, null, null), (Exclusion.HipOrthosis, 40, 110, "Pavlik harness, day and night.")],
            },
            new(Weeks(38, 4), 15.8) { Exclusions = [(Exclusion.Torticollis, 20, 160, null)], Concerns = [("rolling", true)] },
        ];

    private static IEnumerable<DemoChild> Usual()
    {
        // Gestation and age are dealt out so that neither follows the other.
        int?[] gestations =
        [
            Weeks(40, 2),
            Weeks(28, 4),
            Weeks(37, 1),
            Weeks(34),
            null,
            Weeks(39, 6),
            Weeks(25, 3),
            Weeks(41, 1),
            Weeks(33),
            Weeks(36, 5),
            Weeks(30, 2),
            Weeks(38, 6),
            Weeks(35, 4),
            Weeks(41),
            Weeks(31),
            Weeks(39),
            null,
            Weeks(32, 6),
            Weeks(40, 6),
            Weeks(29),
        ];
        double[] ages =
        [
            20.4,
            0.4,
            31.2,
            31.6,
            16.7,
            28.3,
            2.1,
            27.0,
            33.2,
            18.1,
            29.9,
            26.5,
            30.2,
            13.5,
            21.6,
            30.9,
            7.0,
            32.3,
            19.2,
            27.2,
            23.1,
            31.3,
            29.6,
            17.3,
            34.0,
            29.1,
            31.0,
            20.9,
            33.6,
            18.8,
            26.0,
            28.9,
            32.5,
            22.2,
            30.7,
            33.3,
            27.8,
            21.3,
            32.8,
            33.1,
        ];
        for (var index = 0; index < ages.Length; index++)
        {
            // 7 and 20 have no common factor, so every gestation comes up twice, at two ages.
            yield return new DemoChild(
                gestations[index * 7 % gestations.Length],
                ages[index],
                index % 12 == 3 ? Attendance.Closed
                    : index is 4 or 16 or 33 ? Attendance.Lapsed
                    : Attendance.Regular
            )
            {
                IsGivenBack = index >= ages.Length - 5,
                Concerns =
                    index % 9 == 4 ? [("feeding", true)]
                    : index % 13 == 6 ? [("open-hand-weight-bearing", false)]
                    : [],
                Exclusions = index % 14 == 8 ? [(Exclusion.RecentSurgery, 90, 120, "Inguinal hernia repair.")] : [],
            };
        }
    }

    private static int Weeks(int weeks, int days = 0) => weeks * 7 + days;

    private static Dictionary<string, Twist> Twists(params (string Item, Twist Twist)[] twists) =>
        twists.ToDictionary(pair => pair.Item, pair => pair.Twist);
}
