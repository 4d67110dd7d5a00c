using Caseload.Data.Access;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Record;

/// <summary>The access record: each part for those who may use it. The parts ask the store for themselves.</summary>
public partial class RecordPage
{
    private Rights? _rights;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        var actor = await Actors.GetAsync(CancellationToken.None);
        _rights = new Rights(
            actor.May(Permission.SearchAccessRecord),
            actor.May(Permission.VerifyAccessRecord),
            actor.May(Permission.DestroyRecords)
        );
    }

    private sealed record Rights(bool Searches, bool Verifies, bool Destroys);
}
