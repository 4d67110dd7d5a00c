using Caseload.Domain;

namespace Caseload.Data.Access;

/// <summary>A person asked for what none of their roles allows, or wanted to change a child that is not theirs to change.</summary>
/// <remarks>Screens offer only what is allowed, so this is a changed role, an old page or an attempt. It holds no personal data.</remarks>
public sealed class AccessDeniedException : Exception
{
    /// <summary>An exception without particulars.</summary>
    public AccessDeniedException() { }

    /// <summary>An exception with a message.</summary>
    public AccessDeniedException(string message)
        : base(message) { }

    /// <summary>An exception with a message and a cause.</summary>
    public AccessDeniedException(string message, Exception innerException)
        : base(message, innerException) { }

    /// <summary>What was asked for.</summary>
    public AccessDeniedException(Permission permission)
        : base($"Not allowed: {permission.ToWord()}.") { }
}

/// <summary>The sign-in a person acts under is over: signed out, idle for too long, ended, or the person was disabled.</summary>
public sealed class SignInEndedException : Exception
{
    /// <summary>The exception.</summary>
    public SignInEndedException()
        : base("The sign-in is over.") { }

    /// <summary>An exception with a message.</summary>
    public SignInEndedException(string message)
        : base(message) { }

    /// <summary>An exception with a message and a cause.</summary>
    public SignInEndedException(string message, Exception innerException)
        : base(message, innerException) { }
}
