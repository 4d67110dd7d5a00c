using System.Globalization;
using Caseload.Data.Access;
using Caseload.Domain;

namespace Caseload.Data;

/// <summary>What a context acts for; the database's row policies are told the same. The words are those that the policies compare with.</summary>
internal enum StorePurpose
{
    /// <summary>Nothing: no row is seen.</summary>
    Nothing,

    /// <summary>A person at work.</summary>
    Person,

    /// <summary>A named job of the installation.</summary>
    Job,

    /// <summary>A person's own account while signing in or out, before there are rights.</summary>
    Account,

    /// <summary>Finding which person a sign-in name, a passkey or an invitation belongs to.</summary>
    FindPerson,

    /// <summary>Finding which programmes there are.</summary>
    FindProgrammes,
}

/// <summary>For whom, for what and how far a context sees and writes.</summary>
internal sealed record StoreScope(StorePurpose Purpose, Guid ProgrammeId, string Who, DateTimeOffset At)
{
    internal static readonly StoreScope Nothing = new(StorePurpose.Nothing, Guid.Empty, "", DateTimeOffset.MinValue);

    internal Guid? PersonId { get; init; }

    internal Guid? SignInId { get; init; }

    internal Guid? ClinicianId { get; init; }

    internal string? Address { get; init; }

    internal IReadOnlyList<Role> Roles { get; init; } = [];

    internal Guid[] ReachedChildIds { get; init; } = [];

    internal Reach Reads => Purpose == StorePurpose.Job ? Reach.Programme : PermissionTable.ReadingReach(Roles);

    internal Reach Writes => Purpose == StorePurpose.Job ? Reach.Programme : PermissionTable.WritingReach(Roles);

    /// <summary>What the row policies are told, as pairs of setting and value.</summary>
    internal IEnumerable<(string Name, string Value)> Settings =>
        [
            ("caseload.purpose", Purpose.ToWord()),
            ("caseload.programme", ProgrammeId == Guid.Empty ? "" : ProgrammeId.ToString()),
            ("caseload.person", PersonId?.ToString() ?? ""),
            ("caseload.clinician", ClinicianId?.ToString() ?? ""),
            ("caseload.reads", Reads.ToWord()),
            ("caseload.writes", Writes.ToWord()),
            (
                "caseload.permissions",
                string.Join(
                    ',',
                    Enum.GetValues<Permission>()
                        .Where(permission => Purpose == StorePurpose.Person && PermissionTable.Allows(Roles, permission))
                        .Select(permission => permission.ToWord())
                )
            ),
            ("caseload.at", At.UtcDateTime.ToString("yyyy-MM-dd HH:mm:ss.ffffffZ", CultureInfo.InvariantCulture)),
        ];
}
