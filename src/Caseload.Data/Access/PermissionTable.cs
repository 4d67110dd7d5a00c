using System.Collections.Frozen;
using System.Text;
using Caseload.Domain;

namespace Caseload.Data.Access;

/// <summary>Which role may do what: the only place where it is said. The contributor guide prints it.</summary>
public static class PermissionTable
{
    private static readonly FrozenDictionary<Role, FrozenSet<Permission>> _permissions = new Dictionary<Role, FrozenSet<Permission>>
    {
        [Role.Administrator] =
        [
            Permission.ReadReference,
            Permission.ReadSettings,
            Permission.ChangeSettings,
            Permission.RunJobs,
            Permission.ManagePeople,
            Permission.VerifyAccessRecord,
            Permission.KeepOwnAccount,
        ],
        [Role.TeamLead] =
        [
            Permission.ReadChildren,
            Permission.EditChildren,
            Permission.AssignChildren,
            Permission.LogVisits,
            Permission.AnswerAlerts,
            Permission.ReadDigests,
            Permission.SeeWhoLooked,
            Permission.DestroyRecords,
            Permission.ReadReference,
            Permission.ChangeReference,
            Permission.ReadSettings,
            Permission.ChangeReviewPolicy,
            Permission.ArrangeCover,
            Permission.ReadNumbers,
            Permission.SearchAccessRecord,
            Permission.VerifyAccessRecord,
            Permission.KeepOwnAccount,
        ],
        [Role.Clinician] =
        [
            Permission.ReadChildren,
            Permission.EditChildren,
            Permission.LogVisits,
            Permission.AnswerAlerts,
            Permission.ReadDigests,
            Permission.ReachByReason,
            Permission.SeeWhoLooked,
            Permission.ReadReference,
            Permission.ReadSettings,
            Permission.KeepOwnAccount,
        ],
        [Role.Observer] =
        [
            Permission.ReadChildren,
            Permission.ReadDigests,
            Permission.SeeWhoLooked,
            Permission.ReadReference,
            Permission.ReadSettings,
            Permission.ReadNumbers,
            Permission.SearchAccessRecord,
            Permission.VerifyAccessRecord,
            Permission.KeepOwnAccount,
        ],
    }.ToFrozenDictionary();

    /// <summary>Whether any of the roles may do it.</summary>
    public static bool Allows(IEnumerable<Role> roles, Permission permission) => roles.Any(role => _permissions[role].Contains(permission));

    /// <summary>Whose children the roles may read.</summary>
    public static Reach ReadingReach(IReadOnlyCollection<Role> roles) =>
        roles.Contains(Role.TeamLead) || roles.Contains(Role.Observer) ? Reach.Programme
        : roles.Contains(Role.Clinician) ? Reach.Own
        : Reach.None;

    /// <summary>Whose children the roles may write: an observer reads all and writes none.</summary>
    public static Reach WritingReach(IReadOnlyCollection<Role> roles) =>
        roles.Contains(Role.TeamLead) ? Reach.Programme
        : roles.Contains(Role.Clinician) ? Reach.Own
        : Reach.None;

    /// <summary>The table as Markdown, for the contributor guide.</summary>
    public static string ToMarkdown()
    {
        var roles = Enum.GetValues<Role>();
        var text = new StringBuilder("| Permission | ").AppendJoin(" | ", roles.Select(Title)).Append(" |\n| --- |");
        foreach (var _ in roles)
        {
            text.Append(" --- |");
        }
        text.Append('\n');
        foreach (var permission in Enum.GetValues<Permission>())
        {
            text.Append("| ").Append(Title(permission)).Append(" |");
            foreach (var role in roles)
            {
                text.Append(_permissions[role].Contains(permission) ? " yes |" : " |");
            }
            text.Append('\n');
        }
        text.Append("| *reads the records of* |");
        foreach (var role in roles)
        {
            text.Append(' ').Append(ReadingReach([role]).ToWord()).Append(" |");
        }
        text.Append("\n| *writes the records of* |");
        foreach (var role in roles)
        {
            text.Append(' ').Append(WritingReach([role]).ToWord()).Append(" |");
        }
        return text.Append('\n').ToString();
    }

    private static string Title<T>(T value)
        where T : struct, Enum => value.ToWord().Replace('-', ' ');
}
