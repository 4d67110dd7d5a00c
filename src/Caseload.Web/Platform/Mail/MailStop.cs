using Caseload.Data;
using Caseload.Data.People;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Mail;

/// <summary>Stops a person's optional mail for whoever has the address from it. It only ever turns the weekly digest's mail off.</summary>
public sealed class MailStop(CaseloadDb db, MailStopLinks links, TimeProvider time)
{
    /// <summary>The field by which a mail program says that it was told to stop mail (RFC 8058).</summary>
    public const string OneClickField = "List-Unsubscribe";

    /// <summary>What the field holds.</summary>
    public const string OneClickValue = "One-Click";

    /// <summary>Whether there is mail to stop: false for an address that is not good, and when it was stopped before.</summary>
    public async Task<bool> CanStopAsync(string secret, CancellationToken ct) => await FindAsync(secret, ct) is not null;

    /// <summary>Stops it; the answer is the same whether there was anything to stop.</summary>
    public async Task StopAsync(string secret, string? address, CancellationToken ct)
    {
        if (await FindAsync(secret, ct) is not { } found)
        {
            return;
        }
        var at = time.GetUtcNow();
        await using var context = db.ForAccount(found.ProgrammeId, found.Id, found.Name, address);
        var person = await context.People.SingleAsync(row => row.Id == found.Id, ct);
        person.WantsDigestMail = false;
        context.Record("account-digest-mail-off", null, at);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            // Whoever was quicker changed something else about the person: the second try finds that done.
            await StopAsync(secret, address, ct);
        }
    }

    private async Task<Person?> FindAsync(string secret, CancellationToken ct)
    {
        if (links.Read(secret) is not { } key)
        {
            return null;
        }
        await using var context = db.ForFindingPeople();
        return await context
            .People.AsNoTracking()
            .SingleOrDefaultAsync(row => row.ProgrammeId == key.ProgrammeId && row.Id == key.PersonId && row.WantsDigestMail, ct);
    }
}
