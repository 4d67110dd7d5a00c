using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Mail;

/// <summary>What an administrator does about messages that could not be sent.</summary>
public static class ParkedMessages
{
    /// <summary>Has parked messages tried again as if for the first time; saved with the context's next save.</summary>
    /// <param name="context">The administrator's unit of work.</param>
    /// <param name="id">One message; null for all.</param>
    /// <param name="at">Now.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>The messages.</returns>
    public static async Task<IReadOnlyList<Guid>> RetryAsync(CaseloadDbContext context, Guid? id, DateTimeOffset at, CancellationToken ct)
    {
        var parked = await context.OutgoingMessages.Where(row => row.ParkedAt != null && (id == null || row.Id == id)).ToListAsync(ct);
        foreach (var message in parked)
        {
            message.ParkedAt = null;
            message.NextTryAt = at;
            message.AttemptCount = 0;
        }
        context.NoteMessages();
        return [.. parked.Select(message => message.Id)];
    }

    /// <summary>Takes a parked message out for good, together with whatever the unit of work holds besides.</summary>
    /// <returns>False when it is not parked, or not there; nothing is saved then.</returns>
    public static async Task<bool> GiveUpAsync(CaseloadDbContext context, Guid id, CancellationToken ct)
    {
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        await context.SaveChangesAsync(ct);
        // Nobody but a job takes messages out; the person's right was asked for when the context was made.
        await context.WidenToProgrammeAsync(ct);
        if (await context.OutgoingMessages.Where(row => row.Id == id && row.ParkedAt != null).ExecuteDeleteAsync(ct) == 0)
        {
            return false;
        }
        await transaction.CommitAsync(ct);
        return true;
    }
}
