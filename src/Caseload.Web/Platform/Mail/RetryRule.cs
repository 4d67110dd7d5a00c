using Caseload.Data.Mail;

namespace Caseload.Web.Platform.Mail;

/// <summary>How often and when a message is tried again that was not taken.</summary>
public static class RetryRule
{
    private const int MostAttempts = 24;
    private const int LongestWaitInMinutes = 4 * 60;

    /// <summary>Whether it is tried again after so many attempts. A test is there to show what is wrong, so it is tried once.</summary>
    public static bool IsTriedAgain(MessageKind kind, int attempts) => kind != MessageKind.Test && attempts < MostAttempts;

    /// <summary>How long after so many attempts the next one is made: a minute, two, four, up to four hours.</summary>
    /// <remarks>All of them take two days and a half: a server that fails on a Friday evening is back before they are over.</remarks>
    public static TimeSpan WaitAfter(int attempts) => TimeSpan.FromMinutes(Math.Min(Math.Pow(2, attempts - 1), LongestWaitInMinutes));
}
