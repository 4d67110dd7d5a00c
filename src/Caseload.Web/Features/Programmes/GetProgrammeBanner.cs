using Caseload.Data;
using Caseload.Web.Platform;

namespace Caseload.Web.Features.Programmes;

/// <summary>What stands above every page.</summary>
/// <param name="Name">The programme.</param>
/// <param name="IsDemo">Whether its people are invented.</param>
public sealed record ProgrammeBanner(string Name, bool IsDemo);

/// <summary>Finds what stands above every page.</summary>
public sealed class GetProgrammeBannerHandler(CaseloadDb db, HostStart start)
{
    /// <summary>The banner, or null before there is a programme.</summary>
    public async Task<ProgrammeBanner?> HandleAsync(CancellationToken ct)
    {
        var programmes = await db.ListProgrammesAsync(ct);
        return programmes.Count == 0 ? null : new ProgrammeBanner(programmes[0].Name, start.IsDemo);
    }
}
