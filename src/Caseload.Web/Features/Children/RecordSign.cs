using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Children;

/// <summary>Records that a sign of the urgent list was seen in a child.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="SignId">The row, made by the page: a second tap finds the first one done.</param>
/// <param name="Sign">The sign.</param>
/// <param name="SeenOn">The day on which it was seen.</param>
/// <param name="Note">A note for colleagues.</param>
public sealed record RecordSign(Guid ChildId, Guid SignId, UrgentSign? Sign, DateOnly? SeenOn, string Note);

/// <summary>Records signs.</summary>
public sealed class RecordSignHandler(CaseloadDb db, StatusProjection projection, ChangeNotifier notifier, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, RecordSign request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        if (await context.Children.AsNoTracking().SingleOrDefaultAsync(row => row.Id == request.ChildId, ct) is not { } child)
        {
            return [new Refusal("sign", "There is no such child.")];
        }
        context.DemandWriting(child.Id);
        if (await context.Signs.AnyAsync(row => row.Id == request.SignId, ct))
        {
            return [];
        }
        var refusals = RefusalsOf(request, child, todayOn);
        if (refusals.Count > 0)
        {
            return refusals;
        }
        var (sign, seenOn) = (request.Sign!.Value, request.SeenOn!.Value);
        if (await context.Signs.AnyAsync(row => row.ChildId == child.Id && row.Sign == sign && row.SettledOn == null, ct))
        {
            return [_alreadyStands];
        }

        context.Signs.Add(
            new RecordedSign
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.SignId,
                ChildId = child.Id,
                Sign = sign,
                SeenOn = seenOn,
                Note = string.IsNullOrWhiteSpace(request.Note) ? null : request.Note.Trim(),
            }
        );
        context.Record(
            "sign-recorded",
            child.Id,
            time.GetUtcNow(),
            new AccessDetail().With("sign", request.SignId).With("what", sign).With("seenOn", seenOn)
        );
        await projection.RewriteAsync(context, child.Id, todayOn, ct);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateException failure)
            when (failure.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            return [_alreadyStands];
        }
        notifier.Changed(actor.ProgrammeId);
        return [];
    }

    private static readonly Refusal _alreadyStands = new("sign", "This sign stands already. Settle it first if it was seen anew.");

    private static List<Refusal> RefusalsOf(RecordSign request, Child child, DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        if (child.ClosedOn is not null)
        {
            refusals.Add(new Refusal("sign", "The case is closed. Open it again first."));
        }
        if (request.Sign is null)
        {
            refusals.Add(new Refusal("sign", "Choose the sign that was seen."));
        }
        if (request.SeenOn is not { } seenOn)
        {
            refusals.Add(new Refusal("sign-seen", "Enter the day on which it was seen."));
        }
        else if (seenOn > todayOn || seenOn < child.BornOn)
        {
            refusals.Add(new Refusal("sign-seen", "The day must lie between the birth and today."));
        }
        if (request.Note.Trim().Length > TextLimits.Note)
        {
            refusals.Add(
                new Refusal(
                    "sign-note",
                    $"The note may have {TextLimits.Note} characters; it has {request.Note.Trim().Length}. Shorten it."
                )
            );
        }
        return refusals;
    }
}
