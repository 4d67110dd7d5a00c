using Caseload.Data.Access;
using Caseload.Domain.Assignment;
using Caseload.Domain.Policy;

namespace Caseload.Data.Programmes;

/// <summary>An early-intervention or therapy programme; several may share an installation and never see each other.</summary>
public sealed class Programme : IProgrammeOwned
{
    /// <summary>The id, called <c>programme_id</c> in the table as in every other.</summary>
    public required Guid Id { get; init; }

    /// <summary>The programme's name.</summary>
    public required string Name { get; set; }

    /// <summary>Its IANA time zone, for example <c>America/Chicago</c>; "today" is meant in it.</summary>
    public required string TimeZoneId { get; set; }

    /// <summary>The numbers it set for itself. After a change, the statuses are rebuilt in the same transaction.</summary>
    public required ReviewPolicy Policy { get; set; }

    /// <summary>Its rules for signing in, for reaching children and for keeping records.</summary>
    public AccessPolicy AccessPolicy { get; set; } = AccessPolicy.Default;

    /// <summary>Its numbers for alerts, the digest and mail.</summary>
    public AlertPolicy AlertPolicy { get; set; } = AlertPolicy.Default;

    /// <summary>What work a child makes and how much of it a clinician can do.</summary>
    public WorkloadPolicy WorkloadPolicy { get; set; } = WorkloadPolicy.Default;

    /// <summary>The key of the reference set in use. After a change, the statuses are rebuilt in the same transaction.</summary>
    public required string ActiveSetKey { get; set; }

    /// <summary>When it was set up.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>Changes with every save; a form that carries it notices that somebody else saved first.</summary>
    public uint RowVersion { get; init; }

    Guid IProgrammeOwned.ProgrammeId => Id;
}
