namespace Caseload.Web.Platform.Access;

/// <summary>How often in a row signing in has failed for one person, and how long that keeps the door shut.</summary>
/// <remarks>
/// One count for everything that can fail: password, authenticator code, recovery code, passkey. The upper limit is that of NIST
/// SP 800-63B-4, section 3.2.2 (known from secondary sources); the times below it are ours.
/// </remarks>
public sealed record FailureThrottle
{
    /// <summary>After so many failures, and after each further so many, the door is shut for a while.</summary>
    public const int FailuresPerLock = 5;

    /// <summary>At so many failures in a row it stays shut until an administrator renews the sign-in.</summary>
    public const int FailuresToStop = 100;

    /// <summary>How long the door is shut the first time; each time after that twice as long.</summary>
    public static readonly TimeSpan FirstLock = TimeSpan.FromMinutes(5);

    /// <summary>The longest time for which it is shut.</summary>
    public static readonly TimeSpan LongestLock = TimeSpan.FromMinutes(60);

    private FailureThrottle(int inARow, DateTimeOffset? lastFailedAt)
    {
        InARow = inARow;
        LastFailedAt = lastFailedAt;
    }

    /// <summary>Nothing has failed since the last success; also what an administrator's renewal begins with.</summary>
    public static FailureThrottle None { get; } = new(0, null);

    /// <summary>Failures in a row; never more than <see cref="FailuresToStop"/> by counting.</summary>
    public int InARow { get; }

    /// <summary>When the last of them happened; null when there was none.</summary>
    public DateTimeOffset? LastFailedAt { get; }

    /// <summary>Whether only an administrator can open the door again.</summary>
    public bool IsStopped => InARow >= FailuresToStop;

    /// <summary>Takes up what was stored.</summary>
    public static FailureThrottle Restore(int inARow, DateTimeOffset? lastFailedAt)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(inARow);
        if (inARow > 0 != lastFailedAt.HasValue)
        {
            throw new ArgumentException("Failures and the instant of the last one belong together.", nameof(lastFailedAt));
        }
        return new FailureThrottle(inARow, lastFailedAt);
    }

    /// <summary>Until when the door is shut, asked at an instant; that instant itself is open again.</summary>
    /// <returns>Null when it is open; <see cref="DateTimeOffset.MaxValue"/> when it does not open by itself.</returns>
    public DateTimeOffset? LockedUntil(DateTimeOffset at)
    {
        if (IsStopped)
        {
            return DateTimeOffset.MaxValue;
        }
        if (LastFailedAt is not { } last || InARow % FailuresPerLock != 0)
        {
            return null;
        }
        var until = last + LockAfter(InARow);
        return at < until ? until : null;
    }

    /// <summary>What a failure makes of it. While the door is shut nothing is tried, so nothing counts and nothing is extended.</summary>
    public FailureThrottle AfterFailure(DateTimeOffset at) => LockedUntil(at) is null ? new FailureThrottle(InARow + 1, at) : this;

    /// <summary>What a success makes of it: a new beginning, but not while the door is shut.</summary>
    public FailureThrottle AfterSuccess(DateTimeOffset at) => LockedUntil(at) is null ? None : this;

    private static TimeSpan LockAfter(int failures)
    {
        var length = FirstLock;
        for (var count = FailuresPerLock; count < failures && length < LongestLock; count += FailuresPerLock)
        {
            length *= 2;
        }
        return length < LongestLock ? length : LongestLock;
    }
}
