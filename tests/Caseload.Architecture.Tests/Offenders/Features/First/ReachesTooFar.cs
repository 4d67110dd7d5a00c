using Caseload.Architecture.Tests.Offenders.Features.Second;
using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Visits;
using Microsoft.AspNetCore.Components;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Architecture.Tests.Offenders.Features.First;

internal sealed class ReadsTheStoreComponent : ComponentBase
{
    private int _count;

    [Inject]
    private CaseloadDb Db { get; set; } = default!;

    [Parameter]
    public Actor Actor { get; set; } = default!;

    protected override async Task OnInitializedAsync()
    {
        await using var context = Db.ForJob("planted", Actor.ProgrammeId);
        _count = await context.Children.CountAsync();
    }
}

internal sealed class ShowsAStoredChildComponent : ComponentBase
{
    [Parameter]
    public Child Child { get; set; } = default!;
}

internal sealed class HoldsAContext(CaseloadDbContext context)
{
    internal CaseloadDbContext Context { get; } = context;
}

internal sealed record RowWithAStoredVisit(IReadOnlyList<Visit> Visits);

internal sealed class AllowedHandler(CaseloadDb db)
{
    public async Task<int> HandleAsync(Actor actor, CancellationToken ct)
    {
        await using var context = db.ForJob("planted", actor.ProgrammeId);
        return await context.Visits.CountAsync(ct);
    }
}

internal sealed class BorrowsFromSecondHandler
{
    public Task<int> HandleAsync(Actor actor, CancellationToken ct) => Task.FromResult(new SecondRow(1).Count);
}
