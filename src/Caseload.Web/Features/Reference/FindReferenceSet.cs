using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Reference;

/// <summary>Asks for a reference set.</summary>
/// <param name="SetKey">Its key; null for the one in use.</param>
public sealed record FindReferenceSet(string? SetKey);

/// <summary>A reference set as the pages show it.</summary>
/// <param name="Set">The set.</param>
/// <param name="ActiveKey">The key of the set in use.</param>
public sealed record ReferenceView(ReferenceSet Set, string ActiveKey)
{
    /// <summary>Whether it is the set in use.</summary>
    public bool IsActive => Set.Key == ActiveKey;
}

/// <summary>Finds a published reference set.</summary>
public sealed class FindReferenceSetHandler(CaseloadDb db, ReferenceLibrary library)
{
    /// <summary>The set, or null when the programme never published one with that key.</summary>
    public async Task<ReferenceView?> HandleAsync(Actor actor, FindReferenceSet request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadReference, ct);
        var activeKey = await context.Programmes.Select(programme => programme.ActiveSetKey).SingleAsync(ct);
        var key = string.IsNullOrEmpty(request.SetKey) ? activeKey : request.SetKey;
        if (!await context.ReferenceSetVersions.AnyAsync(version => version.Key == key, ct))
        {
            return null;
        }

        return new ReferenceView(await library.GetSetAsync(context, key, ct), activeKey);
    }
}
