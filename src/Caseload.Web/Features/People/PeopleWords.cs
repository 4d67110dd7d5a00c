using Caseload.Data.Access;
using Caseload.Data.Programmes;

namespace Caseload.Web.Features.People;

/// <summary>What roles, disciplines and states of an account are called.</summary>
public static class PeopleWords
{
    /// <summary>Monday first, as a working week is read.</summary>
    public static IReadOnlyList<DayOfWeek> Week { get; } =
    [DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday, DayOfWeek.Friday, DayOfWeek.Saturday, DayOfWeek.Sunday];

    /// <summary>What a role is called.</summary>
    public static string NameOf(Role role) =>
        role switch
        {
            Role.Administrator => "Administrator",
            Role.TeamLead => "Team lead",
            Role.Clinician => "Clinician",
            Role.Observer => "Observer",
            _ => throw new ArgumentOutOfRangeException(nameof(role)),
        };

    /// <summary>What a role means, in one sentence.</summary>
    public static string MeaningOf(Role role) =>
        role switch
        {
            Role.Administrator => "Looks after people, sign-in and the programme's name; sees no child's record.",
            Role.TeamLead => "Answers for every child of the programme, shares them out, and sets the review policy.",
            Role.Clinician => "Sees and records the children of the own caseload, and those covered for a colleague.",
            Role.Observer => "Reads the whole programme and changes nothing: a supervisor or an auditor.",
            _ => throw new ArgumentOutOfRangeException(nameof(role)),
        };

    /// <summary>Whose children's records the roles open.</summary>
    public static string ReachOf(IReadOnlyCollection<Role> roles) =>
        PermissionTable.ReadingReach(roles) switch
        {
            Reach.Programme => "every child of the programme",
            Reach.Own => "own caseload, cover, and by a stated reason",
            _ => "no child's record",
        };

    /// <summary>Several roles in one line.</summary>
    public static string NamesOf(IEnumerable<Role> roles) => string.Join(", ", roles.Select(NameOf));

    /// <summary>"1 child", "3 children".</summary>
    public static string Children(int count) => count == 1 ? "1 child" : $"{count} children";
}
