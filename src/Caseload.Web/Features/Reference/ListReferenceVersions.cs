using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Reference;

/// <summary>Asks for every version the programme has published.</summary>
public sealed record ListReferenceVersions;

/// <summary>A published version.</summary>
/// <param name="Key">Name and version.</param>
/// <param name="PublishedOn">The day of publication.</param>
/// <param name="PublishedBy">Who published it.</param>
/// <param name="BasedOn">The version it was copied from.</param>
/// <param name="ChangeReason">Why it differs from that.</param>
/// <param name="IsActive">Whether it is in use.</param>
/// <param name="FindingCount">How many findings were recorded with it.</param>
public sealed record ReferenceVersionRow(
    string Key,
    DateOnly PublishedOn,
    string PublishedBy,
    string? BasedOn,
    string? ChangeReason,
    bool IsActive,
    int FindingCount
);

/// <summary>Lists every version: the one in use, then the newest.</summary>
public sealed class ListReferenceVersionsHandler(CaseloadDb db)
{
    /// <summary>The versions.</summary>
    public async Task<IReadOnlyList<ReferenceVersionRow>> HandleAsync(Actor actor, ListReferenceVersions request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadReference, ct);
        var activeKey = await context.Programmes.Select(programme => programme.ActiveSetKey).SingleAsync(ct);
        return await context
            .ReferenceSetVersions.OrderByDescending(version => version.Key == activeKey)
            .ThenByDescending(version => version.PublishedOn)
            .ThenByDescending(version => version.Key)
            .Select(version => new ReferenceVersionRow(
                version.Key,
                version.PublishedOn,
                version.PublishedBy,
                version.BasedOn,
                version.ChangeReason,
                version.Key == activeKey,
                context.Findings.Count(finding => finding.SetKey == version.Key)
            ))
            .ToListAsync(ct);
    }
}
