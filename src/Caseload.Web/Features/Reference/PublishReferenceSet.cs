using System.Text.RegularExpressions;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Reference;

/// <summary>Asks to publish a changed copy of the set in use.</summary>
/// <param name="BasedOn">The key of the set that the person copied.</param>
/// <param name="Name">The copy's name.</param>
/// <param name="Version">The copy's version.</param>
/// <param name="Reason">Why the figures differ.</param>
/// <param name="Changes">New schedule figures by item id.</param>
public sealed record PublishReferenceSet(
    string BasedOn,
    string Name,
    string Version,
    string Reason,
    IReadOnlyDictionary<string, ItemRuleFigures> Changes
);

/// <summary>What became of it.</summary>
public abstract record PublishReferenceSetOutcome
{
    private PublishReferenceSetOutcome() { }

    /// <summary>It is published and in use.</summary>
    /// <param name="SetKey">Its key.</param>
    /// <param name="ChildCount">How many children's statuses were worked out anew.</param>
    public sealed record Done(string SetKey, int ChildCount) : PublishReferenceSetOutcome;

    /// <summary>It was not published; nothing was saved.</summary>
    /// <param name="Refusals">Every reason, by field.</param>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : PublishReferenceSetOutcome;
}

/// <summary>Publishes a changed copy of the set in use, makes it the set in use and works out every status with it.</summary>
public sealed partial class PublishReferenceSetHandler(
    CaseloadDb db,
    ReferenceLibrary library,
    StatusProjection statuses,
    TimeProvider time
)
{
    /// <summary>Publishes.</summary>
    public async Task<PublishReferenceSetOutcome> HandleAsync(Actor actor, PublishReferenceSet request, CancellationToken ct)
    {
        var key = request.Name + "@" + request.Version;
        if (!KeyPattern().IsMatch(key))
        {
            return Refuse("name", "Start the name with a letter, and keep name and version together under 80 characters.");
        }
        if (request.Reason.Trim().Length > TextLimits.Note)
        {
            return Refuse("reason", $"Keep the reason under {TextLimits.Note} characters.");
        }

        await using var context = await db.EnterAsync(actor, Permission.ChangeReference, ct);
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        var programme = await context.Programmes.SingleAsync(ct);
        if (programme.ActiveSetKey != request.BasedOn)
        {
            return ChangedMeanwhile();
        }
        if (await context.ReferenceSetVersions.AnyAsync(version => version.Key == key, ct))
        {
            return Taken(key);
        }
        var basis = await library.GetSetAsync(context, request.BasedOn, ct);

        var copy = basis.CopyAs(request.Name, request.Version, actor.TodayOn(time), request.Reason, request.Changes);
        if (!copy.IsAccepted)
        {
            return new PublishReferenceSetOutcome.Refused(copy.Refusals);
        }

        context.Add(ReferenceSetVersion.From(actor.ProgrammeId, copy.Value, actor.DisplayName));
        programme.ActiveSetKey = key;
        context.Record(
            "reference-published",
            null,
            time.GetUtcNow(),
            new AccessDetail().WithKey("set", key).WithKey("basedOn", request.BasedOn).With("items", request.Changes.Count)
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return ChangedMeanwhile();
        }
        catch (DbUpdateException exception)
            when (exception.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            return Taken(key);
        }

        // From here the library may remember the new version, so leaving the page must not undo it.
        var childCount = await statuses.RebuildAsync(context, actor.TodayOn(time), CancellationToken.None);
        await transaction.CommitAsync(CancellationToken.None);
        return new PublishReferenceSetOutcome.Done(key, childCount);
    }

    private static PublishReferenceSetOutcome.Refused ChangedMeanwhile() =>
        Refuse("basis", "Another version was put in use meanwhile. Note your figures, load the page again and enter them there.");

    private static PublishReferenceSetOutcome.Refused Taken(string key) =>
        Refuse("version", $"{key} is published already, and a published version never changes. Choose another version.");

    private static PublishReferenceSetOutcome.Refused Refuse(string field, string message) => new([new Refusal(field, message)]);

    // The key also stands in the activity list, which takes keys of this form only.
    [GeneratedRegex("^[a-z][a-z0-9_@.-]{0,79}$", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex KeyPattern();
}
