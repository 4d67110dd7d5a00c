using Caseload.Data.Alerts;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
using Caseload.Domain.Ages;
using Caseload.Domain.Interpretation;

namespace Caseload.Data.Children;

/// <summary>A child on the caseload.</summary>
public sealed class Child : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by whoever adds the child.</summary>
    public required Guid Id { get; init; }

    /// <summary>The short code for lists and talk, for example <c>K-014</c>; see <see cref="ChildCodes"/>.</summary>
    public required string Code { get; init; }

    /// <summary>Given name.</summary>
    public required string GivenName { get; set; }

    /// <summary>Family name.</summary>
    public required string FamilyName { get; set; }

    /// <summary>Date of birth.</summary>
    public required DateOnly BornOn { get; set; }

    /// <summary>Gestation at birth in days; null when not known.</summary>
    public required int? GestationDays { get; set; }

    /// <summary>The day the programme took the child on; checks are not asked for before it.</summary>
    public required DateOnly EnrolledOn { get; set; }

    /// <summary>The clinician responsible; null when not assigned.</summary>
    public Guid? ClinicianId { get; set; }

    /// <summary>The day the family was referred to the programme, on or before <see cref="EnrolledOn"/>; null when it is not known.</summary>
    public DateOnly? ReferredOn { get; set; }

    /// <summary>The travel zone of the home, in the programme's own words; null when not known.</summary>
    public string? Zone { get; set; }

    /// <summary>The language the family needs, as a BCP 47 tag such as <c>es</c>; null for the programme's own.</summary>
    public string? Language { get; set; }

    /// <summary>The discipline the child needs; null when any will do.</summary>
    public Discipline? NeededDiscipline { get; set; }

    /// <summary>Planned visits in four weeks; null for the programme's usual number.</summary>
    public int? VisitsInFourWeeks { get; set; }

    /// <summary>A note for colleagues.</summary>
    public string? Note { get; set; }

    /// <summary>The day the programme closed the case; null while it is open.</summary>
    public DateOnly? ClosedOn { get; set; }

    /// <summary>Why it was closed; set together with <see cref="ClosedOn"/>.</summary>
    public string? ClosingReason { get; set; }

    /// <summary>When the child was added.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>When the record was last edited.</summary>
    public required DateTimeOffset UpdatedAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The clinician responsible, when loaded.</summary>
    public Clinician? Clinician { get; init; }

    /// <summary>What keeps items from being tested, when loaded.</summary>
    public ICollection<RecordedExclusion> Exclusions { get; } = [];

    /// <summary>Functional concerns, when loaded.</summary>
    public ICollection<RecordedConcern> Concerns { get; } = [];

    /// <summary>Visits, when loaded.</summary>
    public ICollection<Visit> Visits { get; } = [];

    /// <summary>Where the child stands, when loaded.</summary>
    public ICollection<ItemStatus> Statuses { get; } = [];

    /// <summary>Signs of the urgent list, when loaded.</summary>
    public ICollection<RecordedSign> Signs { get; } = [];

    /// <summary>Where the child stands as a whole, when loaded.</summary>
    public ChildStatus? Status { get; init; }

    /// <summary>Its alerts, when loaded.</summary>
    public ICollection<Alert> Alerts { get; } = [];

    /// <summary>What the rules need to know.</summary>
    public ChildFacts ToFacts() => new(BirthFacts.Restore(BornOn, GestationDays), EnrolledOn);
}
