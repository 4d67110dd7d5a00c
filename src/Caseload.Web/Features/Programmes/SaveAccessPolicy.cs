using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks to save the rules for signing in and keeping records.</summary>
/// <param name="RowVersion">The version that the person saw.</param>
/// <param name="Form">What was entered.</param>
public sealed record SaveAccessPolicy(uint RowVersion, AccessPolicyForm Form);

/// <summary>Saves the access policy.</summary>
public sealed class SaveAccessPolicyHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves.</summary>
    public async Task<SaveOutcome> HandleAsync(Actor actor, SaveAccessPolicy request, CancellationToken ct)
    {
        var read = request.Form.Read();
        if (!read.IsAccepted)
        {
            return new SaveOutcome.Refused(read.Refusals);
        }

        await using var context = await db.EnterAsync(actor, Permission.ChangeSettings, ct);
        var programme = await context.Programmes.SingleAsync(ct);
        if (programme.RowVersion != request.RowVersion)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }
        programme.AccessPolicy = read.Value;
        context.Record(
            "access-policy-saved",
            null,
            time.GetUtcNow(),
            new AccessDetail()
                .With("idle-minutes", read.Value.IdleMinutes)
                .With("sign-in-hours", read.Value.SignInHours)
                .WithAll("second-factor", request.Form.NeedSecondFactor.Order())
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }
        return new SaveOutcome.Done(programme.RowVersion);
    }
}
