using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.People;

/// <summary>Lets one person at a time arrange covers in a programme; two at once could make the overlap that each of them checked for.</summary>
public static class CoverLocks
{
    /// <summary>Holds the place until the next save.</summary>
    public static async Task LockAsync(CaseloadDbContext context, CancellationToken ct)
    {
        await context.HoldTransactionAsync(ct);
        await context.Database.ExecuteSqlAsync(
            $"select pg_advisory_xact_lock(hashtextextended('covers ' || {context.ProgrammeId.ToString()}, 0))",
            ct
        );
    }
}
