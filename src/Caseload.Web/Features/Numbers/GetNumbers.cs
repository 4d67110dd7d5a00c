using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Web.Platform.Numbers;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Numbers;

/// <summary>Asks for the programme's numbers.</summary>
/// <param name="Item">The item of the curve; null for none.</param>
/// <param name="Group">Only children of a group; null for all.</param>
public sealed record GetNumbers(string? Item, GestationGroup? Group);

/// <summary>Works out the programme's numbers.</summary>
public sealed class GetNumbersHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    private const int Weeks = 12;

    /// <summary>The numbers.</summary>
    public async Task<ProgrammeNumbers> HandleAsync(Actor actor, GetNumbers request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ReadNumbers, ct);
        var interpreter = await library.GetActiveAsync(context, ct);
        var reading = await NumbersReading.ReadAsync(context, interpreter, todayOn, ct);
        var sinceOn = todayOn.AddDays(-7 * Weeks);
        await context.RecordLookAsync("numbers-read", null, time.GetUtcNow(), ct);
        return new ProgrammeNumbers(
            todayOn,
            sinceOn,
            reading.OpenCases,
            reading.LookedAtInTime(sinceOn),
            await NumbersReading.ReferralToVisitAsync(context, todayOn, ct),
            await context.Alerts.CountAsync(
                row => row.ClosedAt == null && row.Severity > Domain.Interpretation.Concern.Watch && row.Child!.ClosedOn == null,
                ct
            ),
            await NumbersReading.DaysToAnswerAsync(context, sinceOn, ct),
            await NumbersReading.AnsweredInTimeAsync(context, sinceOn, ct),
            reading.Items,
            request.Item is null ? null : reading.CurveOf(request.Item, request.Group),
            await NumbersReading.AgreementsAsync(context, interpreter, ct)
        );
    }
}
