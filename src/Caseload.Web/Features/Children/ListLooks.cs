using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks who opened or changed a child's record.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Days">How many days back.</param>
public sealed record ListLooks(Guid ChildId, int Days);

/// <summary>What one person did with the record on one day.</summary>
/// <param name="On">The day, by the programme's clocks.</param>
/// <param name="Who">The person or the job.</param>
/// <param name="Acts">What was done.</param>
/// <param name="ListCount">How often the child appeared in a list.</param>
public sealed record LookRow(DateOnly On, string Who, IReadOnlyList<LookAct> Acts, int ListCount);

/// <summary>Something that was done, and how often.</summary>
/// <param name="What">In plain words.</param>
/// <param name="Why">Why the person may, in plain words.</param>
/// <param name="Count">How often.</param>
public sealed record LookAct(string What, string Why, int Count);

/// <summary>Who looked, latest day first.</summary>
/// <param name="Rows">Days and people.</param>
/// <param name="HasOlder">Whether there is more before the span.</param>
public sealed record LookList(IReadOnlyList<LookRow> Rows, bool HasOlder);

/// <summary>Lists who opened or changed a child's record; asking is recorded as well.</summary>
public sealed class ListLooksHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The list; empty for a child whom the person does not reach.</summary>
    public async Task<LookList> HandleAsync(Actor actor, ListLooks request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.SeeWhoLooked, ct);
        if (!await context.Children.AnyAsync(child => child.Id == request.ChildId, ct))
        {
            return new LookList([], false);
        }
        await context.RecordLookAsync("looks-listed", request.ChildId, time.GetUtcNow(), ct);
        var since = ProgrammeDays.StartOf(actor.TodayOn(time).AddDays(-request.Days), actor.TimeZone);
        var concerned = $$"""{"children":["{{request.ChildId}}"]}""";
        var entries = context
            .AccessEntries.AsNoTracking()
            .Where(entry => entry.ChildId == request.ChildId || EF.Functions.JsonContains(entry.Detail, concerned));
        var found = await entries
            .Where(entry => entry.At >= since)
            .Select(entry => new
            {
                entry.At,
                entry.PersonId,
                entry.Who,
                entry.What,
                entry.Why,
            })
            .ToListAsync(ct);
        var rows = found
            .GroupBy(entry => (On: DateOnly.FromDateTime(ProgrammeDays.In(entry.At, actor.TimeZone).DateTime), entry.PersonId, entry.Who))
            .OrderByDescending(day => day.Max(entry => entry.At))
            .Select(day => new LookRow(
                day.Key.On,
                day.Key.Who,
                [
                    .. day.Where(entry => !IsList(entry.What))
                        .GroupBy(entry => (entry.What, entry.Why))
                        .OrderBy(act => act.Min(entry => entry.At))
                        .Select(act => new LookAct(AccessWords.Sentence(act.Key.What), AccessWords.Reason(act.Key.Why), act.Count())),
                ],
                day.Count(entry => IsList(entry.What))
            ));
        return new LookList([.. rows], await entries.AnyAsync(entry => entry.At < since, ct));
    }

    private static bool IsList(string what) => what is "children-listed" or "due-listed" or "alerts-listed" or "reaches-listed";
}
