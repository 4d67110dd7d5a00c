using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Children;

/// <summary>Adds or edits a child.</summary>
/// <param name="ChildId">The id; made by the page for a new child.</param>
/// <param name="IsNew">Whether the child is added.</param>
/// <param name="RowVersion">The version the form was made from, for an edit.</param>
/// <param name="Form">What was entered.</param>
public sealed record SaveChild(Guid ChildId, bool IsNew, uint RowVersion, ChildForm Form);

/// <summary>What came of it.</summary>
public abstract record SaveChildOutcome
{
    /// <summary>Saved.</summary>
    public sealed record Saved(string Code) : SaveChildOutcome;

    /// <summary>Refused, each at its field; nothing was saved.</summary>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : SaveChildOutcome;

    /// <summary>Somebody else changed the child meanwhile; nothing was saved.</summary>
    public sealed record ChangedMeanwhile : SaveChildOutcome;

    /// <summary>There is no such child.</summary>
    public sealed record NotFound : SaveChildOutcome;
}

/// <summary>Adds and edits children. Statuses are rewritten in the same save.</summary>
public sealed class SaveChildHandler(CaseloadDb db, StatusProjection projection, TimeProvider time)
{
    /// <summary>Saves.</summary>
    public async Task<SaveChildOutcome> HandleAsync(Actor actor, SaveChild request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        var child = await context.Children.SingleOrDefaultAsync(row => row.Id == request.ChildId, ct);
        if (child is not null && request.IsNew)
        {
            // A second tap: the first one has done it.
            return new SaveChildOutcome.Saved(child.Code);
        }
        if (child is null && !request.IsNew)
        {
            return new SaveChildOutcome.NotFound();
        }
        if (child is not null)
        {
            context.DemandWriting(child.Id);
        }

        var birth = request.Form.ReadBirth(todayOn);
        var refusals = RefusalsOf(request.Form, birth, todayOn);
        var clinicianId = ClinicianFor(context, child, request.Form, refusals);
        if (refusals.Count == 0 && child is not null && birth.Value.BornOn > child.BornOn)
        {
            refusals.AddRange(await RefuseLaterBirthAsync(context, child.Id, birth.Value.BornOn, ct));
        }
        if (refusals.Count > 0)
        {
            return new SaveChildOutcome.Refused(refusals);
        }

        var now = time.GetUtcNow();
        if (child is null)
        {
            child = new Child
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.ChildId,
                Code = await ChildCodes.NextAsync(context, ct),
                GivenName = "",
                FamilyName = "",
                BornOn = birth.Value.BornOn,
                GestationDays = null,
                EnrolledOn = todayOn,
                CreatedAt = now,
                UpdatedAt = now,
            };
            context.Children.Add(child);
        }
        else
        {
            context.Entry(child).Property(row => row.RowVersion).OriginalValue = request.RowVersion;
        }
        Apply(request.Form, birth.Value, child, now);
        if (await AssignAsync(context, child, clinicianId, todayOn, ct) is { } refusal)
        {
            return new SaveChildOutcome.Refused([refusal with { Field = "clinician" }]);
        }
        await projection.RewriteAsync(context, child.Id, todayOn, ct);
        context.Record(
            request.IsNew ? "child-added" : "child-edited",
            child.Id,
            now,
            new AccessDetail().With("enrolledOn", child.EnrolledOn)
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return new SaveChildOutcome.ChangedMeanwhile();
        }
        catch (DbUpdateException failure)
            when (failure.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            return await AnswerTakenAsync(actor, request.ChildId, ct);
        }
        return new SaveChildOutcome.Saved(child.Code);
    }

    /// <summary>A new child is the clinician's from the day the programme took it on, another from today.</summary>
    private static async Task<Refusal?> AssignAsync(
        CaseloadDbContext context,
        Child child,
        Guid? clinicianId,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        if (child.ClinicianId == clinicianId)
        {
            return null;
        }
        var fromOn = context.Entry(child).State == EntityState.Added ? child.EnrolledOn : todayOn;
        var wish = new AssignmentWish(Guid.CreateVersion7(context.At), clinicianId, fromOn, null);
        return await AssignmentBook.AssignAsync(context, child, wish, todayOn, ct);
    }

    /// <summary>A birth date cannot come after what was already found.</summary>
    private static async Task<IEnumerable<Refusal>> RefuseLaterBirthAsync(
        CaseloadDbContext context,
        Guid childId,
        DateOnly bornOn,
        CancellationToken ct
    )
    {
        var firstOn = await context.Findings.Where(row => row.ChildId == childId).MinAsync(row => (DateOnly?)row.ObservedOn, ct);
        return firstOn < bornOn
            ?
            [
                new Refusal(
                    "born",
                    $"A finding is recorded on {firstOn:yyyy-MM-dd}, before this birth date. Correct that finding first, or the date."
                ),
            ]
            : [];
    }

    /// <summary>The id is taken: by the first of two taps at once, or by what this person does not see.</summary>
    private async Task<SaveChildOutcome> AnswerTakenAsync(Actor actor, Guid childId, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        var code = await context.Children.Where(row => row.Id == childId).Select(row => row.Code).SingleOrDefaultAsync(ct);
        return code is null ? new SaveChildOutcome.ChangedMeanwhile() : new SaveChildOutcome.Saved(code);
    }

    /// <summary>A clinician adds children to the own caseload; who else sees a child is for the team lead to say.</summary>
    private static Guid? ClinicianFor(CaseloadDbContext context, Child? child, ChildForm form, List<Refusal> refusals)
    {
        if (context.May(Permission.AssignChildren))
        {
            return form.ClinicianId;
        }
        var clinicianId = child is null ? context.ClinicianId : child.ClinicianId;
        if (form.ClinicianId is not null && form.ClinicianId != clinicianId)
        {
            refusals.Add(new Refusal("clinician", "Ask the team lead to give this child to another clinician."));
        }
        return clinicianId;
    }

    private static void Apply(ChildForm form, BirthFacts birth, Child child, DateTimeOffset now)
    {
        child.GivenName = form.GivenName.Trim();
        child.FamilyName = form.FamilyName.Trim();
        child.BornOn = birth.BornOn;
        child.GestationDays = birth.Gestation?.TotalDays;
        child.EnrolledOn = form.EnrolledOn!.Value;
        child.Note = string.IsNullOrWhiteSpace(form.Note) ? null : form.Note.Trim();
        form.Care.Apply(child);
        child.UpdatedAt = now;
    }

    private static List<Refusal> RefusalsOf(ChildForm form, Checked<BirthFacts> birth, DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        Need(form.GivenName, "given-name", "Enter the given name, or an initial if names are not kept here.");
        Need(form.FamilyName, "family-name", "Enter the family name, or an initial if names are not kept here.");
        refusals.AddRange(birth.Refusals);
        if (form.EnrolledOn is not { } enrolledOn)
        {
            refusals.Add(new Refusal("enrolled", "Enter the day the programme took the child on; checks are asked for from then."));
        }
        else if (enrolledOn > todayOn || enrolledOn < form.BornOn)
        {
            refusals.Add(new Refusal("enrolled", "The day must lie between the birth and today."));
        }
        refusals.AddRange(form.Care.Check(form.BornOn, form.EnrolledOn));
        if (form.Note.Length > TextLimits.Note)
        {
            refusals.Add(new Refusal("note", $"The note may have {TextLimits.Note} characters; it has {form.Note.Length}. Shorten it."));
        }
        return refusals;

        void Need(string text, string field, string message)
        {
            if (string.IsNullOrWhiteSpace(text))
            {
                refusals.Add(new Refusal(field, message));
            }
            else if (text.Trim().Length > TextLimits.Name)
            {
                refusals.Add(new Refusal(field, $"A name may have {TextLimits.Name} characters. Shorten it."));
            }
        }
    }
}
