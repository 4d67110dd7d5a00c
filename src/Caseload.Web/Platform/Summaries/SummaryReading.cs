using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Summaries;

/// <summary>A caseload on a day, as it was known then: the same for the screen, the command line and every kind of file.</summary>
/// <param name="Head">What stands at the head and the foot.</param>
/// <param name="Children">The children, those that ask for most attention first, then by code.</param>
/// <param name="Figures">The counts.</param>
public sealed record CaseloadSummary(SummaryHead Head, IReadOnlyList<SummaryChild> Children, SummaryFigures Figures);

/// <summary>Reads caseload summaries; for handlers and jobs, inside their unit of work. Whose children are read is up to that.</summary>
/// <remarks>
/// Of a past day it tells what was known by its end: findings, visits, assignments and plans count by when they were recorded. The birth facts,
/// the zone, the conditions that rule items out and the settled signs have no history and count as they stand now; so do the reference set and the
/// programme's numbers.
/// </remarks>
public static class SummaryReading
{
    /// <summary>How far ahead checks are told.</summary>
    public const int DaysAhead = 14;

    // Findings of this many children are held at a time.
    private const int BatchSize = 200;

    /// <summary>Reads.</summary>
    /// <param name="context">The store.</param>
    /// <param name="library">The reference sets.</param>
    /// <param name="ask">Which caseload, and when.</param>
    /// <param name="sheet">Who makes it, when, and whether children are named.</param>
    /// <param name="progress">Told how many children of how many are done.</param>
    /// <param name="ct">Cancels.</param>
    public static async Task<CaseloadSummary> ReadAsync(
        CaseloadDbContext context,
        ReferenceLibrary library,
        SummaryAsk ask,
        SummarySheet sheet,
        IProgress<SummaryProgress>? progress,
        CancellationToken ct
    )
    {
        var programme = await context.Programmes.AsNoTracking().Select(row => new { row.Name, row.AlertPolicy }).SingleAsync(ct);
        var rules = new StandingRules(await library.GetActiveAsync(context, ct), programme.AlertPolicy);
        var clinicians = await context.Clinicians.AsNoTracking().ToDictionaryAsync(row => row.Id, row => row.Name, ct);
        var knownBefore = ask.KnownBefore(sheet.Zone, sheet.Now);
        var children = await context
            .Children.AsNoTracking()
            .Where(child => child.CreatedAt < knownBefore && child.EnrolledOn <= ask.AsOfOn)
            .Where(child => child.ClosedOn == null || child.ClosedOn > ask.AsOfOn)
            .Where(child => ask.Zone == null || child.Zone == ask.Zone)
            .OrderBy(child => child.Code)
            .ToListAsync(ct);
        var rows = new List<SummaryChild>(children.Count);
        var done = 0;
        foreach (var batch in children.Chunk(BatchSize))
        {
            var known = await KnownRecords.ReadAsync(context, batch, ask.AsOfOn, knownBefore, ct);
            rows.AddRange(
                batch
                    .Select(child =>
                        new SummaryRowMaker(ask, rules, known.Of(child), known.NextVisitOn(child.Id)).Make(clinicians, sheet.HasNames)
                    )
                    .Where(row => row is not null)
                    .Select(row => row!)
            );
            done += batch.Length;
            progress?.Report(new SummaryProgress(done, children.Count));
        }
        var whose =
            ask.ClinicianId is { } id ? clinicians.GetValueOrDefault(id, "a clinician who is not known")
            : context.ReadsProgramme ? "All clinicians"
            : "The caseload of " + sheet.MadeBy;
        return new CaseloadSummary(
            new SummaryHead(
                programme.Name,
                ask,
                ask.Scope(whose),
                sheet.MadeBy,
                TimeZoneInfo.ConvertTime(sheet.Now, sheet.Zone),
                rules.Interpreter.Set.Key,
                sheet.HasNames
            ),
            [.. rows.OrderByDescending(row => row.Attention).ThenBy(row => row.Code, StringComparer.Ordinal)],
            SummaryFigures.Of(rows)
        );
    }
}

/// <summary>Who makes a summary, when, and how children are called in it.</summary>
/// <param name="MadeBy">Who makes it.</param>
/// <param name="Now">This moment.</param>
/// <param name="Zone">The programme's time zone.</param>
/// <param name="HasNames">Whether children are named.</param>
public sealed record SummarySheet(string MadeBy, DateTimeOffset Now, TimeZoneInfo Zone, bool HasNames);

/// <summary>How far a summary is.</summary>
/// <param name="Done">How many children are done.</param>
/// <param name="All">Of how many.</param>
public readonly record struct SummaryProgress(int Done, int All);
