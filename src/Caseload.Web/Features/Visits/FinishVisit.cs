using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
using Caseload.Domain;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Visits;

/// <summary>Finishes a visit: what was entered becomes findings.</summary>
/// <param name="VisitId">The visit.</param>
/// <param name="Form">Everything entered.</param>
/// <param name="DraftVersion">The draft's version the page last saw; null when it saw none.</param>
public sealed record FinishVisit(Guid VisitId, VisitForm Form, uint? DraftVersion);

/// <summary>A refusal and where it belongs.</summary>
/// <param name="Item">The item's id; null when it concerns the visit.</param>
/// <param name="Refusal">What is wrong.</param>
public sealed record VisitRefusal(string? Item, Refusal Refusal);

/// <summary>What became of a finish.</summary>
public abstract record FinishVisitOutcome
{
    private FinishVisitOutcome() { }

    /// <summary>Finished.</summary>
    public sealed record Finished(VisitReport Report) : FinishVisitOutcome;

    /// <summary>It was finished before; nothing was added. Whether the finished visit holds everything that was to be added.</summary>
    public sealed record AlreadyFinished(bool HoldsAll) : FinishVisitOutcome;

    /// <summary>Somebody saved another draft in between. Nothing was saved; a finish that knows this version goes through.</summary>
    public sealed record ChangedElsewhere(uint? DraftVersion) : FinishVisitOutcome;

    /// <summary>Something must be put right first. Nothing was saved.</summary>
    public sealed record Refused(IReadOnlyList<VisitRefusal> Refusals) : FinishVisitOutcome;
}

/// <summary>Finishes visits.</summary>
public sealed class FinishVisitHandler(CaseloadDb db, ReferenceLibrary library, StatusProjection projection, TimeProvider time)
{
    /// <summary>Saves findings, visit, statuses and activity in one go, or nothing.</summary>
    public async Task<FinishVisitOutcome> HandleAsync(Actor actor, FinishVisit request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var visit = await context
            .Visits.Include(row => row.Child)
            .Include(row => row.Draft)
            .SingleOrDefaultAsync(row => row.Id == request.VisitId, ct);
        if (visit is null)
        {
            return Refuse("visit", "This visit no longer exists. Nothing was saved; start a new one from the child's page.");
        }
        context.DemandWriting(visit.ChildId);
        if (visit.FinishedAt is not null)
        {
            return await AnswerAlreadyFinishedAsync(context, visit, request.Form, ct);
        }
        if (visit.Draft is { } draft && draft.RowVersion != request.DraftVersion)
        {
            return new FinishVisitOutcome.ChangedElsewhere(draft.RowVersion);
        }
        var recorded = await context.Findings.AsNoTracking().Where(row => row.ChildId == visit.ChildId).ToListAsync(ct);
        var interpreter = await library.GetActiveAsync(context, ct);

        var todayOn = actor.TodayOn(time);
        var findings = request.Form.ToFindings(interpreter.Set, visit.VisitedOn);
        var refusals = RefusalsOf(request.Form, findings, interpreter.Set, visit.Child!.BornOn, todayOn);
        if (refusals.Count > 0)
        {
            return new FinishVisitOutcome.Refused(refusals);
        }
        var report = VisitReport.Of(
            interpreter,
            visit.Child.ToFacts(),
            [.. recorded.Select(row => row.ToFinding()), .. findings],
            findings.Select(finding => finding.Id).ToHashSet(),
            visit.VisitedOn
        );

        var at = time.GetUtcNow();
        visit.FinishedAt = at;
        visit.ClinicianId = request.Form.ClinicianId ?? visit.ClinicianId;
        visit.Place = TextOrNull(request.Form.Place);
        visit.Note = TextOrNull(request.Form.Note);
        context.AddRange(
            findings.Select(finding =>
                RecordedFinding.From(finding, visit, at, actor.ClinicianId ?? visit.ClinicianId, interpreter.Set.Key)
            )
        );
        if (visit.Draft is not null)
        {
            context.Remove(visit.Draft);
        }
        context.Record("visit-finished", visit.ChildId, at, new AccessDetail().With("visit", visit.Id).With("findings", findings.Count));
        await projection.RewriteAsync(context, visit.ChildId, todayOn, ct);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return await AnswerConflictAsync(actor, request, ct);
        }
        catch (DbUpdateException failure)
            when (failure.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            return await AnswerConflictAsync(actor, request, ct);
        }
        return new FinishVisitOutcome.Finished(report);
    }

    private async Task<FinishVisitOutcome> AnswerConflictAsync(Actor actor, FinishVisit request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var visit = await context.Visits.AsNoTracking().Include(row => row.Draft).SingleAsync(row => row.Id == request.VisitId, ct);
        return visit.FinishedAt is null
            ? new FinishVisitOutcome.ChangedElsewhere(visit.Draft?.RowVersion)
            : await AnswerAlreadyFinishedAsync(context, visit, request.Form, ct);
    }

    /// <summary>A repeated tap finds its own findings there; another tablet's finish may lack some, and the person must know.</summary>
    private async Task<FinishVisitOutcome> AnswerAlreadyFinishedAsync(
        CaseloadDbContext context,
        Visit visit,
        VisitForm form,
        CancellationToken ct
    )
    {
        var interpreter = await library.GetActiveAsync(context, ct);
        var saved = await context.Findings.Where(row => row.VisitId == visit.Id).Select(row => row.Id).ToListAsync(ct);
        var hasAllFindings = form.ToFindings(interpreter.Set, visit.VisitedOn).All(finding => saved.Contains(finding.Id));
        return new FinishVisitOutcome.AlreadyFinished(
            hasAllFindings && TextOrNull(form.Note) == visit.Note && TextOrNull(form.Place) == visit.Place
        );
    }

    private static List<VisitRefusal> RefusalsOf(
        VisitForm form,
        IReadOnlyList<Finding> findings,
        ReferenceSet set,
        DateOnly bornOn,
        DateOnly todayOn
    )
    {
        var refusals = findings
            .SelectMany(finding =>
                Finding.Check(finding, set, bornOn, todayOn).Refusals.Select(refusal => new VisitRefusal(finding.Item, refusal))
            )
            .ToList();
        refusals.AddRange(
            findings
                .Where(finding => finding.Note?.Length > TextLimits.Note)
                .Select(finding => new VisitRefusal(
                    finding.Item,
                    new Refusal("note", $"The note is longer than {TextLimits.Note} signs. Shorten it.")
                ))
        );
        if (form.Place.Length > TextLimits.Line)
        {
            refusals.Add(new VisitRefusal(null, new Refusal("place", $"The place is longer than {TextLimits.Line} signs. Shorten it.")));
        }
        if (form.Note.Length > TextLimits.Note)
        {
            refusals.Add(
                new VisitRefusal(null, new Refusal("note", $"The visit note is longer than {TextLimits.Note} signs. Shorten it."))
            );
        }
        return refusals;
    }

    private static FinishVisitOutcome.Refused Refuse(string field, string message) =>
        new([new VisitRefusal(null, new Refusal(field, message))]);

    private static string? TextOrNull(string text) => string.IsNullOrWhiteSpace(text) ? null : text.Trim();
}
