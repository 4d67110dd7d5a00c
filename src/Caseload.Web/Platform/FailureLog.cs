namespace Caseload.Web.Platform;

/// <summary>Gives every failure a person sees a number, and writes it to the log under the same number.</summary>
/// <remarks>The message of the exception is not shown: it may hold what somebody typed.</remarks>
public sealed class FailureLog(ILogger<FailureLog> logger, TimeProvider time)
{
    /// <summary>Logs a failure and returns its number.</summary>
    public string Record(Exception failure, string place)
    {
        var reference = Guid.CreateVersion7(time.GetUtcNow()).ToString("N")[^10..].ToUpperInvariant();
        logger.LogError(failure, "Failure {Reference} at {Place}", reference, place);
        return reference;
    }
}
