using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Saves what work a child makes and how much of it a clinician can do.</summary>
/// <param name="Form">What was entered, with the policy that it was made from.</param>
public sealed record SaveWorkloadPolicy(WorkloadForm Form);

/// <summary>Saves the workload policy.</summary>
public sealed class SaveWorkloadPolicyHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The field that a refusal names when somebody else was first.</summary>
    public const string WholeForm = "";

    private static readonly Refusal _meanwhile = new(
        WholeForm,
        "Somebody else changed these numbers meanwhile. Load the page again, then enter yours anew."
    );

    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SaveWorkloadPolicy request, CancellationToken ct)
    {
        var read = request.Form.Read();
        if (!read.IsAccepted)
        {
            return read.Refusals;
        }
        await using var context = await db.EnterAsync(actor, Permission.ChangeReviewPolicy, ct);
        var programme = await context.Programmes.SingleAsync(ct);
        if (programme.WorkloadPolicy != request.Form.Seen)
        {
            return [_meanwhile];
        }
        programme.WorkloadPolicy = read.Value;
        var detail = new AccessDetail();
        foreach (var field in WorkloadField.All.Where(field => field.Read(read.Value) != field.Read(request.Form.Seen)))
        {
            detail.With(field.Name, field.Read(read.Value));
        }
        context.Record("workload-policy-saved", null, time.GetUtcNow(), detail);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return [_meanwhile];
        }
        return [];
    }
}
