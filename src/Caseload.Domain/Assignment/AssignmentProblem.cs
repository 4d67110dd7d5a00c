namespace Caseload.Domain.Assignment;

/// <summary>Which children a proposal may give to somebody else.</summary>
public enum AssignmentScope
{
    /// <summary>Only children without a clinician.</summary>
    Waiting,

    /// <summary>Every child that is not locked.</summary>
    Rebalance,

    /// <summary>The children of one clinician who is away, for the time being.</summary>
    Cover,
}

/// <summary>A child in the question who sees whom.</summary>
/// <param name="Id">The child.</param>
/// <param name="Code">Its code, for words.</param>
/// <param name="Work">What of the child makes work.</param>
/// <param name="Language">The language the family needs; null for the programme's own.</param>
/// <param name="Discipline">The discipline the child needs; null for any.</param>
/// <param name="WaitingDays">Days without a clinician; 0 with one.</param>
/// <param name="HasUrgentAlert">Whether an open alert asks for an answer the same day or for action.</param>
/// <param name="CurrentId">Who is responsible; null for nobody.</param>
/// <param name="WeeksTogether">Whole weeks with that clinician.</param>
/// <param name="IsLocked">Whether the lead wants the child to stay where it is.</param>
/// <param name="NeverWith">Clinicians whom it is not to be brought together with.</param>
public sealed record AssignmentChild(
    Guid Id,
    string Code,
    WorkloadOfChild Work,
    string? Language,
    string? Discipline,
    int WaitingDays,
    bool HasUrgentAlert,
    Guid? CurrentId,
    int WeeksTogether,
    bool IsLocked,
    IReadOnlyCollection<Guid> NeverWith
);

/// <summary>A clinician in the question who sees whom.</summary>
/// <param name="Id">The clinician.</param>
/// <param name="Name">The name, for words.</param>
/// <param name="Discipline">The discipline.</param>
/// <param name="Languages">Languages besides the programme's.</param>
/// <param name="Zones">Travel zones; none when all are alike.</param>
/// <param name="CapacityMinutes">Minutes for children in four weeks.</param>
/// <param name="MostChildren">How many children at most; null without a limit.</param>
/// <param name="IsAway">Whether the clinician is away at the time in question and can take nobody.</param>
public sealed record AssignmentClinician(
    Guid Id,
    string Name,
    string Discipline,
    IReadOnlyCollection<string> Languages,
    IReadOnlyList<string> Zones,
    int CapacityMinutes,
    int? MostChildren,
    bool IsAway
);

/// <summary>Why a clinician cannot take a child.</summary>
public enum AssignmentBar
{
    /// <summary>The clinician is away.</summary>
    Away,

    /// <summary>The two are never to be brought together.</summary>
    NeverPair,

    /// <summary>The child needs another discipline.</summary>
    Discipline,

    /// <summary>The family needs a language that the clinician is not listed with, and the programme insists.</summary>
    Language,

    /// <summary>There is no room: the minutes or the number of children are used up.</summary>
    Room,
}

/// <summary>The question who sees whom.</summary>
/// <param name="Children">Every open case, also those that stay: they make the loads.</param>
/// <param name="Clinicians">Everybody who works here.</param>
/// <param name="Policy">The programme's minutes.</param>
/// <param name="Scope">Which children may be given to somebody else.</param>
/// <param name="AwayId">For <see cref="AssignmentScope.Cover"/>: whose children are covered.</param>
/// <param name="NeedsLanguage">Whether a clinician without the family's language is ruled out; otherwise it is only avoided.</param>
public sealed record AssignmentProblem(
    IReadOnlyList<AssignmentChild> Children,
    IReadOnlyList<AssignmentClinician> Clinicians,
    WorkloadPolicy Policy,
    AssignmentScope Scope,
    Guid? AwayId,
    bool NeedsLanguage
)
{
    /// <summary>Whether a proposal may give the child to somebody else.</summary>
    public bool IsMovable(AssignmentChild child) =>
        !child.IsLocked
        && Scope switch
        {
            AssignmentScope.Waiting => child.CurrentId is null,
            AssignmentScope.Cover => child.CurrentId is not null && child.CurrentId == AwayId,
            _ => true,
        };

    /// <summary>Whether a proposal may leave the child without anybody: nobody who has a clinician loses that one.</summary>
    public bool MayWait(AssignmentChild child) => child.CurrentId is null || Scope == AssignmentScope.Cover;

    /// <summary>Minutes in four weeks of a child with a clinician.</summary>
    public int MinutesOf(AssignmentChild child, AssignmentClinician clinician) => Workload.Of(child.Work, clinician.Zones, Policy).Minutes;

    /// <summary>Why a clinician cannot take a child, the room left aside; null when that is possible. Staying is always possible.</summary>
    public AssignmentBar? BarOf(AssignmentChild child, AssignmentClinician clinician)
    {
        if (child.CurrentId == clinician.Id && Scope != AssignmentScope.Cover)
        {
            return null;
        }
        return clinician.IsAway || (Scope == AssignmentScope.Cover && clinician.Id == AwayId) ? AssignmentBar.Away
            : child.NeverWith.Contains(clinician.Id) ? AssignmentBar.NeverPair
            : child.Discipline is not null && child.Discipline != clinician.Discipline ? AssignmentBar.Discipline
            : NeedsLanguage && !Speaks(clinician, child) ? AssignmentBar.Language
            : null;
    }

    /// <summary>Whether the clinician can work in the family's language.</summary>
    public static bool Speaks(AssignmentClinician clinician, AssignmentChild child) =>
        child.Language is null || clinician.Languages.Contains(child.Language);

    /// <summary>Who sees whom today; null for nobody.</summary>
    public IReadOnlyDictionary<Guid, Guid?> Today() =>
        Children.ToDictionary(
            child => child.Id,
            child => Scope == AssignmentScope.Cover && child.CurrentId == AwayId ? null : child.CurrentId
        );

    /// <summary>Minutes a clinician may be given: the capacity, and more only where the present caseload is more already.</summary>
    public int RoomOf(AssignmentClinician clinician) =>
        Math.Max(
            clinician.CapacityMinutes,
            Children.Where(child => StaysToday(child, clinician)).Sum(child => MinutesOf(child, clinician))
        );

    /// <summary>How many children a clinician may have: the limit, and more only where there are more already; null without a limit.</summary>
    public int? PlacesOf(AssignmentClinician clinician) =>
        clinician.MostChildren is { } most ? Math.Max(most, Children.Count(child => StaysToday(child, clinician))) : null;

    private bool StaysToday(AssignmentChild child, AssignmentClinician clinician) =>
        child.CurrentId == clinician.Id && !(Scope == AssignmentScope.Cover && clinician.Id == AwayId);
}
