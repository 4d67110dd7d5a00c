using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Papers;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Summaries;

namespace Caseload.Web.Features.Summary;

/// <summary>Asks for a summary as a file.</summary>
/// <param name="Request">Which summary.</param>
/// <param name="Format">As what.</param>
/// <param name="Progress">Told how far it is; null when nobody waits.</param>
public sealed record ExportSummary(SummaryRequest Request, SummaryFormat Format, IProgress<SummaryProgress>? Progress = null);

/// <summary>Makes a file of a summary, and says so in the access record. Cancelled, it leaves nothing.</summary>
public sealed class ExportSummaryHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The file; null with the reasons when it could not be.</summary>
    public async Task<(MadeFile? File, IReadOnlyList<Refusal> Refusals)> HandleAsync(
        Actor actor,
        ExportSummary request,
        CancellationToken ct
    )
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var refusals = request.Request.Refuse(todayOn);
        if (refusals.Count > 0)
        {
            return (null, refusals);
        }
        var summary = await SummaryReading.ReadAsync(
            context,
            library,
            await request.Request.AskAsync(context, todayOn, ct),
            new SummarySheet(
                actor.DisplayName,
                time.GetUtcNow(),
                actor.TimeZone,
                request.Request.WithNames && context.May(Permission.EditChildren)
            ),
            request.Progress,
            ct
        );
        var file = await MadeFile.MakeAsync(
            SummaryFile.NameOf(summary.Head, request.Format),
            content => SummaryFile.WriteAsync(summary, request.Format, actor.TimeZone, content, request.Progress, ct),
            async () =>
            {
                Record(context, actor, summary, request.Format);
                await context.SaveChangesAsync(ct);
            }
        );
        return (file, []);
    }

    private void Record(CaseloadDbContext context, Actor actor, CaseloadSummary summary, SummaryFormat format)
    {
        var at = time.GetUtcNow();
        var head = summary.Head;
        context.Add(
            new SummaryExport
            {
                ProgrammeId = context.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                PersonId = actor.PersonId,
                AsOfOn = head.Ask.AsOfOn,
                MadeAt = at,
                Format = format,
                Scope = head.Scope,
                ChildCount = summary.Children.Count,
            }
        );
        context.Record("summary-exported", null, at, SummaryRecords.DetailOf(summary, format));
    }
}
