using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Reports;

namespace Caseload.Web.Features.Report;

/// <summary>Asks for a child's report.</summary>
/// <param name="ChildId">The child.</param>
public sealed record GetReport(Guid ChildId);

/// <summary>Asks for a child's report as pages.</summary>
/// <param name="ChildId">The child.</param>
public sealed record ExportReport(Guid ChildId);

/// <summary>Shows a child's report.</summary>
public sealed class GetReportHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The report, or null when the person reaches no such child.</summary>
    public async Task<ChildReport?> HandleAsync(Actor actor, GetReport request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var now = time.GetUtcNow();
        var report = await ReportReading.ReadAsync(context, library, request.ChildId, actor, now, ct);
        if (report is not null)
        {
            await context.RecordLookAsync("report-opened", report.ChildId, now, ct);
        }
        return report;
    }
}

/// <summary>Makes pages of a child's report, and says so in the access record.</summary>
public sealed class ExportReportHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The file, or null when the person reaches no such child.</summary>
    public async Task<MadeFile?> HandleAsync(Actor actor, ExportReport request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var now = time.GetUtcNow();
        var report = await ReportReading.ReadAsync(context, library, request.ChildId, actor, now, ct);
        if (report is null)
        {
            return null;
        }
        return await MadeFile.MakeAsync(
            FormattableString.Invariant($"report-{report.Code}-{report.AsOfOn:yyyy-MM-dd}.pdf"),
            content => Task.Run(() => ReportPaper.Write(report, actor.TimeZone, content), ct),
            async () =>
            {
                context.Record("report-exported", report.ChildId, now);
                await context.SaveChangesAsync(ct);
            }
        );
    }
}
