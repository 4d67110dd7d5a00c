using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks what stands above every page.</summary>
public sealed record GetProgrammeBanner;

/// <summary>What stands above every page.</summary>
/// <param name="Name">The programme.</param>
/// <param name="IsDemo">Whether its people are invented.</param>
public sealed record ProgrammeBanner(string Name, bool IsDemo);

/// <summary>Finds what stands above every page.</summary>
public sealed class GetProgrammeBannerHandler(CaseloadDb db, HostStart start)
{
    /// <summary>The banner.</summary>
    public async Task<ProgrammeBanner> HandleAsync(Actor actor, GetProgrammeBanner request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadSettings, ct);
        return new ProgrammeBanner(await context.Programmes.Select(programme => programme.Name).SingleAsync(ct), start.IsDemo);
    }
}
