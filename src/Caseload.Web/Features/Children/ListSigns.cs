using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Alerts;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks for the signs of the urgent list that were seen in a child.</summary>
/// <param name="ChildId">The child.</param>
public sealed record ListSigns(Guid ChildId);

/// <summary>A sign that was seen.</summary>
/// <param name="Id">The row.</param>
/// <param name="Sign">The sign.</param>
/// <param name="SeenOn">The day on which it was seen.</param>
/// <param name="SettledOn">The day on which it was settled; null while it stands.</param>
/// <param name="Note">A note for colleagues.</param>
public sealed record ChildSignRow(Guid Id, UrgentSign Sign, DateOnly SeenOn, DateOnly? SettledOn, string? Note);

/// <summary>Signs that were seen in a child.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="BornOn">The child's birth date: nothing was seen before.</param>
/// <param name="IsClosed">Whether the child's case is closed.</param>
/// <param name="Rows">Standing signs, then settled ones, the latest first.</param>
public sealed record SignList(DateOnly TodayOn, DateOnly BornOn, bool IsClosed, IReadOnlyList<ChildSignRow> Rows);

/// <summary>Lists signs.</summary>
public sealed class ListSignsHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The signs, or null when there is no such child.</summary>
    public async Task<SignList?> HandleAsync(Actor actor, ListSigns request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var child = await context
            .Children.AsNoTracking()
            .Where(row => row.Id == request.ChildId)
            .Select(row => new { row.BornOn, row.ClosedOn })
            .SingleOrDefaultAsync(ct);
        if (child is null)
        {
            return null;
        }
        await context.RecordLookAsync("signs-listed", request.ChildId, time.GetUtcNow(), ct);
        var rows = await context
            .Signs.AsNoTracking()
            .Where(row => row.ChildId == request.ChildId)
            .OrderBy(row => row.SettledOn != null)
            .ThenByDescending(row => row.SeenOn)
            .ThenBy(row => row.Id)
            .Select(row => new ChildSignRow(row.Id, row.Sign, row.SeenOn, row.SettledOn, row.Note))
            .ToListAsync(ct);
        return new SignList(todayOn, child.BornOn, child.ClosedOn is not null, rows);
    }
}
