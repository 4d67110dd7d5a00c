using System.Text.Json;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform.Families;
using Caseload.Web.Platform.Reports;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Family;

/// <summary>Asks for the page for a child's family.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Language">In which language; null for the one the family needs.</param>
public sealed record GetFamilyPage(Guid ChildId, string? Language);

/// <summary>A page that was kept.</summary>
/// <param name="Id">The page.</param>
/// <param name="SavedAt">When, by the programme's clocks.</param>
/// <param name="Who">By whom.</param>
/// <param name="Language">In which language.</param>
/// <param name="Parts">Its parts.</param>
/// <param name="Contact">Whom to call.</param>
public sealed record KeptPage(
    Guid Id,
    DateTimeOffset SavedAt,
    string Who,
    string Language,
    IReadOnlyList<FamilyPart> Parts,
    string Contact
);

/// <summary>The page for the family, as it is proposed.</summary>
/// <param name="Name">The child's name.</param>
/// <param name="Title">The page's title.</param>
/// <param name="Language">Its language.</param>
/// <param name="Parts">The parts, to be edited.</param>
/// <param name="Contact">Whom to call: what was kept last for this child, else by this person.</param>
/// <param name="IsUrgent">Whether something asks for a talk before any paper.</param>
/// <param name="Kept">Pages that were kept, latest first.</param>
public sealed record FamilyView(
    string Name,
    string Title,
    string Language,
    IReadOnlyList<FamilyPart> Parts,
    string Contact,
    bool IsUrgent,
    IReadOnlyList<KeptPage> Kept
);

/// <summary>Proposes the page for a child's family.</summary>
public sealed class GetFamilyPageHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The page, or null when the person reaches no such child.</summary>
    public async Task<FamilyView?> HandleAsync(Actor actor, GetFamilyPage request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var now = time.GetUtcNow();
        var report = await ReportReading.ReadAsync(context, library, request.ChildId, actor, now, ct);
        if (report is null)
        {
            return null;
        }
        var texts = FamilyTexts.Of(request.Language ?? report.Language);
        var letters = await context
            .FamilyLetters.AsNoTracking()
            .Where(row => row.ChildId == request.ChildId)
            .OrderByDescending(row => row.SavedAt)
            .ToListAsync(ct);
        var contact =
            letters.Count > 0
                ? letters[0].Contact
                : await context
                    .FamilyLetters.Where(row => row.Who == actor.DisplayName)
                    .OrderByDescending(row => row.SavedAt)
                    .Select(row => row.Contact)
                    .FirstOrDefaultAsync(ct);
        await context.RecordLookAsync("family-page-opened", report.ChildId, now, ct);
        return new FamilyView(
            report.Name,
            FamilyPage.Title(report, texts),
            texts.Language,
            FamilyPage.Propose(report, texts),
            contact ?? "",
            report.Results.Any(result => result.Verdict.Concern == Concern.SameDay)
                || report.Alerts.Any(alert => alert is { Severity: Concern.SameDay, IsClosed: false }),
            [
                .. letters.Select(row => new KeptPage(
                    row.Id,
                    ProgrammeDays.In(row.SavedAt, actor.TimeZone),
                    row.Who,
                    row.Language,
                    FamilyParts.Read(row.Parts),
                    row.Contact
                )),
            ]
        );
    }
}
