using Caseload.Data.Access;

namespace Caseload.Web.Features.Account;

/// <summary>What a role means, for the person who has it.</summary>
public static class RoleWords
{
    /// <summary>The role in words.</summary>
    public static string Of(Role role) =>
        role switch
        {
            Role.Administrator => "Administrator: people and settings, no child's record",
            Role.TeamLead => "Team lead: every child of the programme",
            Role.Clinician => "Clinician: your own children and those you cover",
            Role.Observer => "Observer: reads every child's record, changes none",
            _ => throw new ArgumentOutOfRangeException(nameof(role), role, null),
        };
}
