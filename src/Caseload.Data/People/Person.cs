using System.Security.Cryptography;
using Caseload.Data.Access;

namespace Caseload.Data.People;

/// <summary>A person with an account. Never deleted: records name who did what.</summary>
public sealed class Person : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The name that colleagues see.</summary>
    public required string Name { get; set; }

    /// <summary>What the person types to sign in: an e-mail address or a short name; unique in the installation.</summary>
    public required string SignInName { get; set; }

    /// <summary>The sign-in name in upper case, for finding and for uniqueness.</summary>
    public required string NormalizedSignInName { get; set; }

    /// <summary>Where invitations and digests go; null when the person has none.</summary>
    public string? Email { get; set; }

    /// <summary>Whether the weekly digest also comes by mail; on its page it always stands.</summary>
    public bool WantsDigestMail { get; set; } = true;

    /// <summary>What the person does here.</summary>
    public required IReadOnlyList<Role> Roles { get; set; }

    /// <summary>The clinician, when the person sees children.</summary>
    public Guid? ClinicianId { get; set; }

    /// <summary>The salted, iterated hash of the password; null until an invitation is accepted, or when the person never uses one.</summary>
    public string? PasswordHash { get; set; }

    /// <summary>Changes with everything that should end other sign-ins: password, second factor, roles.</summary>
    public required string SecurityStamp { get; set; }

    /// <summary>The authenticator's secret, encrypted with the installation's keys; null without one.</summary>
    public string? AuthenticatorSecret { get; set; }

    /// <summary>The last time step whose code was used; a code is good once.</summary>
    public long? AuthenticatorLastStep { get; set; }

    /// <summary>Failures in a row, of every kind.</summary>
    public int FailureCount { get; set; }

    /// <summary>When the last of them was.</summary>
    public DateTimeOffset? LastFailureAt { get; set; }

    /// <summary>When the person was added.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>When the person was disabled; null while they may sign in.</summary>
    public DateTimeOffset? DisabledAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>A person who has no way in yet.</summary>
    public static Person New(Guid programmeId, Guid id, string name, string signInName, IReadOnlyList<Role> roles, DateTimeOffset at) =>
        new()
        {
            ProgrammeId = programmeId,
            Id = id,
            Name = name,
            SignInName = signInName,
            NormalizedSignInName = Normalize(signInName),
            Roles = roles,
            SecurityStamp = NewStamp(),
            CreatedAt = at,
        };

    /// <summary>A sign-in name as it is compared: without regard to case and to how letters with marks are put together.</summary>
    public static string Normalize(string signInName) => signInName.Trim().Normalize().ToUpperInvariant();

    /// <summary>A fresh <see cref="SecurityStamp"/>.</summary>
    public static string NewStamp() => Convert.ToHexString(RandomNumberGenerator.GetBytes(20));
}

/// <summary>A passkey of a person: a key pair whose secret half stays in the person's device.</summary>
public sealed class PersonPasskey : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The credential's id, as the authenticator gave it.</summary>
    public required byte[] CredentialId { get; init; }

    /// <summary>The person.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>What the person calls it.</summary>
    public required string Name { get; set; }

    /// <summary>The public key and what else was attested, as a JSON object.</summary>
    public required string Content { get; set; }

    /// <summary>When it was added.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}

/// <summary>A person's account at the programme's identity provider.</summary>
public sealed class PersonLogin : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The provider's issuer.</summary>
    public required string Issuer { get; init; }

    /// <summary>The provider's name for the person.</summary>
    public required string Subject { get; init; }

    /// <summary>The person.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>When they were linked.</summary>
    public required DateTimeOffset LinkedAt { get; init; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}

/// <summary>A code for the day the authenticator is lost; good once.</summary>
public sealed class RecoveryCode : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The person.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>SHA-256 of the code.</summary>
    public required byte[] CodeHash { get; init; }

    /// <summary>When it was used; null while it is good.</summary>
    public DateTimeOffset? UsedAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
