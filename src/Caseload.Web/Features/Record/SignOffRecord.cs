using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain;

namespace Caseload.Web.Features.Record;

/// <summary>Says that somebody looked over what was worth a look in a span.</summary>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day.</param>
public sealed record SignOffRecord(DateOnly FromOn, DateOnly ThroughOn);

/// <summary>Signs off; the sign-off is an entry of the record.</summary>
public sealed class SignOffRecordHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Signs off; the list is empty when it was recorded.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SignOffRecord request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.SearchAccessRecord, ct);
        if (request.FromOn > request.ThroughOn)
        {
            return [new Refusal("unusual-through", "The last day lies before the first.")];
        }
        if (request.ThroughOn > actor.TodayOn(time))
        {
            return [new Refusal("unusual-through", "Nobody can have looked over days to come. Choose today or an earlier day.")];
        }
        context.Record(
            "record-examined",
            null,
            time.GetUtcNow(),
            new AccessDetail().With("from", request.FromOn).With("through", request.ThroughOn)
        );
        await context.SaveChangesAsync(ct);
        return [];
    }
}
