using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Papers;
using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Families;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Family;

/// <summary>Asks to keep a page for a child's family.</summary>
/// <param name="Id">The id of the page, made by whoever asks: the same page is kept once.</param>
/// <param name="ChildId">The child.</param>
/// <param name="Language">Its language.</param>
/// <param name="Parts">Its parts.</param>
/// <param name="Contact">Whom to call.</param>
public sealed record KeepFamilyPage(Guid Id, Guid ChildId, string Language, IReadOnlyList<FamilyPart> Parts, string Contact);

/// <summary>Keeps a page for a child's family exactly as it was written.</summary>
public sealed class KeepFamilyPageHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Why it cannot be; empty when it was kept.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, KeepFamilyPage request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        if (!await context.Children.AnyAsync(child => child.Id == request.ChildId, ct))
        {
            return [new Refusal("", "There is no such child, or you do not reach it.")];
        }
        context.DemandWriting(request.ChildId);
        var refusals = Refuse(request);
        if (refusals.Count > 0)
        {
            return refusals;
        }
        if (await context.FamilyLetters.AnyAsync(row => row.Id == request.Id, ct))
        {
            return [];
        }
        var at = time.GetUtcNow();
        context.Add(
            new FamilyLetter
            {
                ProgrammeId = context.ProgrammeId,
                Id = request.Id,
                ChildId = request.ChildId,
                Language = FamilyTexts.Of(request.Language).Language,
                AsOfOn = actor.TodayOn(time),
                Parts = FamilyParts.Write([.. request.Parts.Select(part => part with { Text = part.Text.Trim() })]),
                Contact = request.Contact.Trim(),
                SavedAt = at,
                Who = context.Who,
            }
        );
        context.Record("family-page-kept", request.ChildId, at);
        await context.SaveChangesAsync(ct);
        return [];
    }

    private static List<Refusal> Refuse(KeepFamilyPage request)
    {
        var refusals = new List<Refusal>();
        for (var index = 0; index < request.Parts.Count; index++)
        {
            if (request.Parts[index].Text.Trim().Length is 0 or > FamilyForm.LongestText)
            {
                refusals.Add(new Refusal(FamilyForm.FieldOf(index), $"Write 1 to {FamilyForm.LongestText} characters."));
            }
        }
        if (request.Contact.Trim().Length is 0 or > TextLimits.Line)
        {
            refusals.Add(
                new Refusal(FamilyForm.ContactField, $"Say whom the family can call, with the number: 1 to {TextLimits.Line} characters.")
            );
        }
        return refusals;
    }
}

/// <summary>Asks for a page that was kept, for paper.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Id">The page.</param>
public sealed record ExportFamilyPage(Guid ChildId, Guid Id);

/// <summary>Makes pages of what was kept for a family, and says so in the access record.</summary>
public sealed class ExportFamilyPageHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The file, or null when the person reaches no such page.</summary>
    public async Task<MadeFile?> HandleAsync(Actor actor, ExportFamilyPage request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var letter = await context
            .FamilyLetters.AsNoTracking()
            .Where(row => row.Id == request.Id && row.ChildId == request.ChildId)
            .Select(row => new
            {
                row.Language,
                row.AsOfOn,
                row.Parts,
                row.Contact,
                row.Child!.GivenName,
                row.Child.Code,
            })
            .SingleOrDefaultAsync(ct);
        if (letter is null)
        {
            return null;
        }
        var programme = await context.Programmes.Select(row => row.Name).SingleAsync(ct);
        var sheet = new FamilySheet(
            FamilyTexts.Of(letter.Language).Format("Title", letter.GivenName),
            letter.Language,
            FamilyParts.Read(letter.Parts),
            letter.Contact,
            programme,
            letter.AsOfOn
        );
        return await MadeFile.MakeAsync(
            FormattableString.Invariant($"family-{letter.Code}-{letter.AsOfOn:yyyy-MM-dd}-{letter.Language}.pdf"),
            content => Task.Run(() => FamilyPaper.Write(sheet, actor.TimeZone, content), ct),
            async () =>
            {
                context.Record("family-page-exported", request.ChildId, time.GetUtcNow());
                await context.SaveChangesAsync(ct);
            }
        );
    }
}
