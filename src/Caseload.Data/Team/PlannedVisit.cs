using Caseload.Data.Children;

namespace Caseload.Data.Team;

/// <summary>A visit to come: on which day who goes to which child.</summary>
public sealed class PlannedVisit : IProgrammeOwned
{
    /// <summary>The index that keeps a child from being planned twice for a day.</summary>
    public const string OneADayIndex = "ux_planned_visits_day";

    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by whoever plans it; also the left part of the calendar entry's uid.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>Who goes.</summary>
    public required Guid ClinicianId { get; set; }

    /// <summary>The day.</summary>
    public required DateOnly PlannedOn { get; set; }

    /// <summary>The hour on the programme's clocks; null when only the day is known.</summary>
    public TimeOnly? StartsAt { get; set; }

    /// <summary>Whether somebody chose the day: a new proposal leaves it where it is.</summary>
    public required bool IsFixed { get; set; }

    /// <summary>When it was planned.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>When it was last changed.</summary>
    public required DateTimeOffset ChangedAt { get; set; }

    /// <summary>How often it was changed; calendars ask for it.</summary>
    public int Revision { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }
}

/// <summary>An address nobody can guess, at which a calendar program reads a person's planned visits.</summary>
public sealed class CalendarFeed : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The person whose visits it shows.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>SHA-256 of the secret part of the address.</summary>
    public required byte[] SecretHash { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>When it was taken back; null while it answers.</summary>
    public DateTimeOffset? RevokedAt { get; set; }

    /// <summary>When it was last read.</summary>
    public DateTimeOffset? LastReadAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
