using Caseload.Data;
using Caseload.Domain;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Summaries;

/// <summary>What a person asks of a summary, before it is known whether it can be.</summary>
/// <param name="AsOfOn">The day that it tells of; null for today.</param>
/// <param name="SinceOn">The day after which an integration is told as new; null for the day of the person's last summary before.</param>
/// <param name="ClinicianId">Only this clinician's children; null for all.</param>
/// <param name="Zone">Only this travel zone's; null for all.</param>
/// <param name="Band">Only this age band's; null for all.</param>
/// <param name="State">Only children with an item in this state; null for all.</param>
/// <param name="LeastAlert">Only children with an open alert of at least this severity; null for all.</param>
/// <param name="WithNames">Whether names and birth dates are wanted; who may not edit children is given codes all the same.</param>
public sealed record SummaryRequest(
    DateOnly? AsOfOn = null,
    DateOnly? SinceOn = null,
    Guid? ClinicianId = null,
    string? Zone = null,
    AgeBand? Band = null,
    ItemState? State = null,
    Concern? LeastAlert = null,
    bool WithNames = true
)
{
    private static readonly DateOnly _earliestOn = new(2000, 1, 1);

    /// <summary>Why it cannot be; empty when it can.</summary>
    public IReadOnlyList<Refusal> Refuse(DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        var asOfOn = AsOfOn ?? todayOn;
        if (asOfOn > todayOn)
        {
            refusals.Add(new Refusal(nameof(AsOfOn), "A summary cannot be of a day to come. Choose today or an earlier day."));
        }
        else if (asOfOn < _earliestOn)
        {
            refusals.Add(new Refusal(nameof(AsOfOn), "Choose a day from the year 2000 on."));
        }
        if (SinceOn >= asOfOn)
        {
            refusals.Add(new Refusal(nameof(SinceOn), "Choose a day before the day of the summary."));
        }
        return refusals;
    }

    /// <summary>What is asked for, the days that were left open filled in.</summary>
    public async Task<SummaryAsk> AskAsync(CaseloadDbContext context, DateOnly todayOn, CancellationToken ct)
    {
        var asOfOn = AsOfOn ?? todayOn;
        var lastOn =
            SinceOn is null && context.PersonId is { } personId
                ? await context
                    .SummaryExports.Where(row => row.PersonId == personId && row.AsOfOn < asOfOn)
                    .MaxAsync(row => (DateOnly?)row.AsOfOn, ct)
                : null;
        return new SummaryAsk(
            asOfOn,
            SinceOn ?? lastOn ?? asOfOn.AddDays(-SummaryAsk.UsualDaysBack),
            ClinicianId,
            Zone,
            Band,
            State,
            LeastAlert
        );
    }
}
