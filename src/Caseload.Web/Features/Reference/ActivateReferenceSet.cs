using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Reference;

/// <summary>Why an earlier version is used again. Words, because the activity list holds no free text.</summary>
public enum ActivationReason
{
    /// <summary>The programme's own protocol changed.</summary>
    ProtocolChanged,

    /// <summary>Figures of the version in use are in doubt.</summary>
    FiguresInDoubt,

    /// <summary>The version in use was published by mistake.</summary>
    PublishedByMistake,

    /// <summary>The version in use was only tried out.</summary>
    TrialEnded,
}

/// <summary>Asks to use a published version again.</summary>
/// <param name="SetKey">The version.</param>
/// <param name="InsteadOf">The version that the person saw in use.</param>
/// <param name="Reason">Why.</param>
public sealed record ActivateReferenceSet(string SetKey, string InsteadOf, ActivationReason Reason);

/// <summary>What became of it.</summary>
public abstract record ActivateReferenceSetOutcome
{
    private ActivateReferenceSetOutcome() { }

    /// <summary>It is in use.</summary>
    /// <param name="ChildCount">How many children's statuses were worked out anew.</param>
    public sealed record Done(int ChildCount) : ActivateReferenceSetOutcome;

    /// <summary>It cannot be done.</summary>
    /// <param name="Message">Why, and what to do.</param>
    public sealed record Refused(string Message) : ActivateReferenceSetOutcome;
}

/// <summary>Uses a published version again and works out every status with it.</summary>
public sealed class ActivateReferenceSetHandler(CaseloadDb db, StatusProjection statuses, TimeProvider time)
{
    private static readonly ActivateReferenceSetOutcome _changedMeanwhile = new ActivateReferenceSetOutcome.Refused(
        "Somebody else changed which version is in use meanwhile. Load the page again to see which."
    );

    /// <summary>Changes the version in use.</summary>
    public async Task<ActivateReferenceSetOutcome> HandleAsync(Actor actor, ActivateReferenceSet request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ChangeReference, ct);
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        var programme = await context.Programmes.SingleAsync(ct);
        if (programme.ActiveSetKey != request.InsteadOf)
        {
            return _changedMeanwhile;
        }
        if (programme.ActiveSetKey == request.SetKey)
        {
            return new ActivateReferenceSetOutcome.Refused($"{request.SetKey} is in use already.");
        }
        if (!await context.ReferenceSetVersions.AnyAsync(version => version.Key == request.SetKey, ct))
        {
            return new ActivateReferenceSetOutcome.Refused($"There is no published version {request.SetKey}.");
        }

        programme.ActiveSetKey = request.SetKey;
        context.Record(
            "reference-activated",
            null,
            time.GetUtcNow(),
            new AccessDetail().WithKey("set", request.SetKey).WithKey("insteadOf", request.InsteadOf).With("reason", request.Reason)
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return _changedMeanwhile;
        }

        var childCount = await statuses.RebuildAsync(context, actor.TodayOn(time), ct);
        await transaction.CommitAsync(ct);
        return new ActivateReferenceSetOutcome.Done(childCount);
    }
}
