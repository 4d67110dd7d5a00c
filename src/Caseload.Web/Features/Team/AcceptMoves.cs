using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.People;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>A proposed move that the lead accepts.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="FromId">Who was responsible when it was proposed.</param>
/// <param name="ToId">Who will see the child.</param>
public sealed record AcceptedMove(Guid ChildId, Guid? FromId, Guid ToId);

/// <summary>Carries out proposed moves: as assignments from a day on, or as covers for the time that somebody is away.</summary>
/// <param name="AttemptId">Made by the page, so that a second tap changes nothing.</param>
/// <param name="CoverId">The time that somebody is away; null for assignments.</param>
/// <param name="FromOn">First day of assignments.</param>
/// <param name="Moves">The moves.</param>
public sealed record AcceptMoves(Guid AttemptId, Guid? CoverId, DateOnly? FromOn, IReadOnlyList<AcceptedMove> Moves);

/// <summary>Carries out proposed moves: all that were accepted, or none.</summary>
public sealed class AcceptMovesHandler(CaseloadDb db, StatusProjection projection, TimeProvider time)
{
    private static readonly Refusal _meanwhile = new(
        "moves",
        "Somebody else changed one of these children meanwhile. Ask for a new proposal; nothing was changed."
    );

    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, AcceptMoves request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        if (request.Moves.Count == 0)
        {
            return [new Refusal("moves", "Choose at least one move.")];
        }
        if (request.CoverId is null && request.FromOn is null)
        {
            return [new Refusal("from", "Enter the first day.")];
        }
        await using var context = await db.EnterAsync(actor, Permission.AssignChildren, ct);
        if (await context.AccessEntries.AnyAsync(entry => entry.AttemptId == request.AttemptId, ct))
        {
            return [];
        }
        var ids = request.Moves.Select(move => move.ChildId).ToList();
        var children = await context
            .Children.Where(child => ids.Contains(child.Id) && child.ClosedOn == null)
            .ToDictionaryAsync(child => child.Id, ct);
        if (request.Moves.Any(move => !children.TryGetValue(move.ChildId, out var child) || child.ClinicianId != move.FromId))
        {
            return [_meanwhile];
        }
        var refusals = request.CoverId is { } coverId
            ? await CoverAsync(context, coverId, request.Moves, todayOn, ct)
            : await AssignAsync(context, request, children, todayOn, ct);
        if (refusals.Count > 0)
        {
            return refusals;
        }
        context.Record(
            "proposal-accepted",
            null,
            time.GetUtcNow(),
            new AccessDetail().WithAll("children", ids).With("moves", request.Moves.Count),
            request.AttemptId
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return [_meanwhile];
        }
        return [];
    }

    private async Task<IReadOnlyList<Refusal>> AssignAsync(
        CaseloadDbContext context,
        AcceptMoves request,
        Dictionary<Guid, Child> children,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        foreach (var move in request.Moves.OrderBy(move => move.ChildId))
        {
            var child = children[move.ChildId];
            var wish = new AssignmentWish(Guid.CreateVersion7(context.At), move.ToId, request.FromOn!.Value, null);
            if (await AssignmentBook.GiveAsync(context, projection, child, wish, todayOn, ct) is { } refusal)
            {
                return [refusal];
            }
        }
        return [];
    }

    /// <summary>Covers of single children for the whole time; an earlier one of the same child gives way.</summary>
    private static async Task<IReadOnlyList<Refusal>> CoverAsync(
        CaseloadDbContext context,
        Guid coverId,
        IReadOnlyList<AcceptedMove> moves,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        await CoverLocks.LockAsync(context, ct);
        var away = await context.Covers.SingleOrDefaultAsync(
            row => row.Id == coverId && row.ChildId == null && row.ThroughOn >= todayOn,
            ct
        );
        if (away is null || moves.Any(move => move.FromId != away.AbsentClinicianId))
        {
            return [_meanwhile];
        }
        var ids = moves.Select(move => (Guid?)move.ChildId).ToList();
        context.RemoveRange(
            await context
                .Covers.Where(row =>
                    ids.Contains(row.ChildId)
                    && row.AbsentClinicianId == away.AbsentClinicianId
                    && row.FromOn <= away.ThroughOn
                    && row.ThroughOn >= away.FromOn
                )
                .ToListAsync(ct)
        );
        context.AddRange(
            moves.Select(move => new Cover
            {
                ProgrammeId = context.ProgrammeId,
                Id = Guid.CreateVersion7(context.At),
                AbsentClinicianId = away.AbsentClinicianId,
                CoveringClinicianId = move.ToId,
                ChildId = move.ChildId,
                FromOn = away.FromOn,
                ThroughOn = away.ThroughOn,
            })
        );
        return [];
    }
}
