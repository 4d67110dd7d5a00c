namespace Caseload.Data.Programmes;

/// <summary>A clinician's discipline.</summary>
public enum Discipline
{
    /// <summary>Occupational therapy.</summary>
    OccupationalTherapy,

    /// <summary>Physical therapy.</summary>
    PhysicalTherapy,

    /// <summary>Speech-language pathology.</summary>
    SpeechLanguage,

    /// <summary>Any other.</summary>
    Other,
}

/// <summary>A person who sees children for the programme.</summary>
public sealed class Clinician : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The name.</summary>
    public required string Name { get; set; }

    /// <summary>Initials for narrow columns.</summary>
    public required string Initials { get; set; }

    /// <summary>The discipline.</summary>
    public required Discipline Discipline { get; set; }

    /// <summary>Languages other than the programme's in which the clinician can work with a family, as BCP 47 tags such as <c>es</c>.</summary>
    public IReadOnlyList<string> Languages { get; set; } = [];

    /// <summary>The days on which the clinician works.</summary>
    public IReadOnlyList<DayOfWeek> WorkingDays { get; set; } = Weekdays;

    /// <summary>The travel zones the clinician works in, in the programme's own words, the home zone first; none when all are alike.</summary>
    public IReadOnlyList<string> Zones { get; set; } = [];

    /// <summary>How many children at most; null without a limit but the hours.</summary>
    public int? MostChildren { get; set; }

    /// <summary>Monday through Friday.</summary>
    public static IReadOnlyList<DayOfWeek> Weekdays { get; } =
    [DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday, DayOfWeek.Friday];

    /// <summary>Whether the clinician still works here; those who left stay, because findings name them.</summary>
    public bool IsActive { get; set; } = true;

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
