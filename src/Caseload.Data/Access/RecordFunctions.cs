using Caseload.Data.Children;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Access;

/// <summary>What only the database's own functions may do; each checks the rights of whoever the context was made for.</summary>
public static class RecordFunctions
{
    /// <summary>The child with a code, also outside the person's reach; null when the programme has none. Says nothing else about it.</summary>
    public static async Task<Guid?> FindChildByCodeAsync(CaseloadDbContext context, string code, CancellationToken ct) =>
        (await context.Database.SqlQuery<Guid?>($"select caseload_child_of_code({code}) as \"Value\"").ToListAsync(ct))[0];

    /// <summary>
    /// Destroys the record of a child whose case is closed; the next save commits it together with what it adds, and disposing the context
    /// without a save takes it back.
    /// </summary>
    /// <returns>What stays.</returns>
    public static async Task<ChildTombstone> DestroyChildAsync(CaseloadDbContext context, Guid childId, string reason, CancellationToken ct)
    {
        await context.HoldTransactionAsync(ct);
        await context.Database.ExecuteSqlAsync($"select caseload_destroy_child({childId}, {reason})", ct);
        return await context.ChildTombstones.AsNoTracking().SingleAsync(row => row.ChildId == childId, ct);
    }

    /// <summary>
    /// Removes the oldest entries of the access record whose time to be kept is over; how many. The next save commits it together with what
    /// it adds.
    /// </summary>
    public static async Task<int> TrimAccessRecordAsync(CaseloadDbContext context, CancellationToken ct)
    {
        await context.HoldTransactionAsync(ct);
        return (await context.Database.SqlQuery<int>($"select caseload_trim_access_record() as \"Value\"").ToListAsync(ct))[0];
    }
}
