namespace Caseload.Data.People;

/// <summary>How a person proved who they are.</summary>
public enum SignInMethod
{
    /// <summary>A password alone.</summary>
    Password,

    /// <summary>A password and an authenticator's code.</summary>
    PasswordAndCode,

    /// <summary>A password and a recovery code.</summary>
    PasswordAndRecoveryCode,

    /// <summary>A passkey.</summary>
    Passkey,

    /// <summary>The programme's identity provider.</summary>
    IdentityProvider,
}

/// <summary>Why a sign-in ended.</summary>
public enum SignInEnd
{
    /// <summary>The person signed out.</summary>
    SignedOut,

    /// <summary>Nothing was done for too long.</summary>
    Idle,

    /// <summary>The person ended it from another device.</summary>
    EndedByPerson,

    /// <summary>An administrator ended it.</summary>
    EndedByAdministrator,

    /// <summary>The person's roles or second factor changed.</summary>
    RightsChanged,

    /// <summary>The person was disabled.</summary>
    Disabled,

    /// <summary>Its longest time was over.</summary>
    Expired,
}

/// <summary>One sign-in on one device: what the cookie points to.</summary>
public sealed class SignIn : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, fresh for every sign-in.</summary>
    public required Guid Id { get; init; }

    /// <summary>The person.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>When it began.</summary>
    public required DateTimeOffset StartedAt { get; init; }

    /// <summary>When the person last did something, kept to half a minute.</summary>
    public required DateTimeOffset LastSeenAt { get; set; }

    /// <summary>When it ends at the latest.</summary>
    public required DateTimeOffset ExpiresAt { get; init; }

    /// <summary>When it ended; null while it lasts.</summary>
    public DateTimeOffset? EndedAt { get; set; }

    /// <summary>Why it ended; set together with <see cref="EndedAt"/>.</summary>
    public SignInEnd? EndedWhy { get; set; }

    /// <summary>How the person proved who they are.</summary>
    public required SignInMethod Method { get; init; }

    /// <summary>The network address it came from.</summary>
    public required string Address { get; init; }

    /// <summary>The kind of browser and device, in a few words.</summary>
    public required string Device { get; init; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}

/// <summary>A way in for a person who has none yet, or whose way in is renewed; good once. Only hashes are kept.</summary>
public sealed class Invitation : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The person.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>SHA-256 of the secret in the link.</summary>
    public required byte[] LinkHash { get; init; }

    /// <summary>SHA-256 of the code on paper.</summary>
    public required byte[] CodeHash { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>Until when it is good.</summary>
    public required DateTimeOffset ExpiresAt { get; init; }

    /// <summary>When it was used or replaced by a newer one; null while it is good.</summary>
    public DateTimeOffset? ClosedAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}

/// <summary>The one-time link that sets up an installation without a programme. It belongs to none, because there is none yet.</summary>
public sealed class SetupLink
{
    /// <summary>SHA-256 of the secret in the link.</summary>
    public required byte[] LinkHash { get; init; }

    /// <summary>When it was made; a newer one replaces it.</summary>
    public required DateTimeOffset CreatedAt { get; init; }
}

/// <summary>A key that protects cookies and forms, encrypted by a certificate outside the database. It belongs to the installation.</summary>
public sealed class ProtectionKey
{
    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The framework's name for it.</summary>
    public required string FriendlyName { get; init; }

    /// <summary>The encrypted key.</summary>
    public required string Xml { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset CreatedAt { get; init; }
}
