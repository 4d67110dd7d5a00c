using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Caseload.Domain.Policy;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>What the first person enters.</summary>
public class FirstSetupForm
{
    /// <summary>The programme's name.</summary>
    public string ProgrammeName { get; set; } = "";

    /// <summary>Its IANA time zone.</summary>
    public string TimeZoneId { get; set; } = "";

    /// <summary>The person's name.</summary>
    public string Name { get; set; } = "";

    /// <summary>What the person types to sign in.</summary>
    public string SignInName { get; set; } = "";

    /// <summary>The password.</summary>
    public string Password { get; set; } = "";

    /// <summary>Whether the person leads the team as well.</summary>
    public bool LeadsTeam { get; set; }
}

/// <summary>Sets up an installation without a programme, by a link that is printed when the program starts and is good once.</summary>
public sealed class FirstSetup(CaseloadDb db, IPasswordHasher<Person> hasher, TimeProvider time)
{
    /// <summary>A fresh link's secret; the ones before are good no longer. Null when there is a programme already.</summary>
    public async Task<string?> MakeLinkAsync(CancellationToken ct)
    {
        if ((await db.ListProgrammesAsync(ct)).Count > 0)
        {
            return null;
        }
        var secret = OneTimeSecret.NewLink();
        await using var context = db.ForJob("setup", Guid.Empty);
        context.SetupLinks.RemoveRange(await context.SetupLinks.ToListAsync(ct));
        context.SetupLinks.Add(new SetupLink { LinkHash = OneTimeSecret.HashOfLink(secret)!, CreatedAt = time.GetUtcNow() });
        await context.SaveChangesAsync(ct);
        return secret;
    }

    /// <summary>Whether the link is still good.</summary>
    public async Task<bool> IsGoodAsync(string secret, CancellationToken ct)
    {
        await using var context = db.ForJob("setup", Guid.Empty);
        return await FindAsync(context, secret, ct) is not null;
    }

    /// <summary>Creates the programme and its first administrator, and uses the link up, all in one transaction.</summary>
    public async Task<Checked<PersonKey>> CreateAsync(string secret, FirstSetupForm form, CancellationToken ct)
    {
        var refusals = RefusalsOf(form);
        if (refusals.Count > 0)
        {
            return Checked.Refuse<PersonKey>(refusals);
        }
        var at = time.GetUtcNow();
        await using var context = db.ForJob("setup", Guid.CreateVersion7(at));
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        // First of all and by itself: of two requests at once the later one waits here, and then finds no link.
        if (await UseUpAsync(context, secret, ct) == 0)
        {
            return LinkIsOver();
        }
        CaseloadDb.AddProgramme(context, form.ProgrammeName.Trim(), form.TimeZoneId.Trim(), ReviewPolicy.Default, at);
        var person = Person.New(
            context.ProgrammeId,
            Guid.CreateVersion7(at),
            form.Name.Trim(),
            form.SignInName.Trim(),
            form.LeadsTeam ? [Role.Administrator, Role.TeamLead] : [Role.Administrator],
            at
        );
        person.PasswordHash = hasher.HashPassword(person, PasswordRules.FormToHash(form.Password));
        context.Add(person);
        context.Record("first-administrator-added", null, at, new AccessDetail().With("person", person.Id));
        await context.SaveChangesAsync(ct);
        await transaction.CommitAsync(ct);
        return Checked.Accept(new PersonKey(person.ProgrammeId, person.Id));
    }

    private static Checked<PersonKey> LinkIsOver() =>
        Checked.Refuse<PersonKey>(
            "link",
            "This link was used or replaced. Start Caseload again; it prints a fresh one while there is no programme."
        );

    private static async Task<SetupLink?> FindAsync(CaseloadDbContext context, string secret, CancellationToken ct) =>
        OneTimeSecret.HashOfLink(secret) is { } hash
            ? await context.SetupLinks.SingleOrDefaultAsync(row => row.LinkHash == hash, ct)
            : null;

    private static async Task<int> UseUpAsync(CaseloadDbContext context, string secret, CancellationToken ct) =>
        OneTimeSecret.HashOfLink(secret) is { } hash
            ? await context.SetupLinks.Where(row => row.LinkHash == hash).ExecuteDeleteAsync(ct)
            : 0;

    private static List<Refusal> RefusalsOf(FirstSetupForm form)
    {
        var refusals = new List<Refusal>();
        Need(form.ProgrammeName, TextLimits.Name, "programme", "Enter the programme's name.");
        if (!TimeZoneInfo.TryFindSystemTimeZoneById(form.TimeZoneId.Trim(), out var zone) || !zone.HasIanaId)
        {
            refusals.Add(new Refusal("time-zone", "Choose a time zone from the list, for example Europe/Dublin."));
        }
        Need(form.Name, TextLimits.Name, "name", "Enter your name as colleagues know it.");
        Need(
            form.SignInName,
            TextLimits.Address,
            "sign-in-name",
            "Enter what you will type to sign in: your e-mail address or a short name."
        );
        refusals.AddRange(PasswordRules.Check(form.Password, [form.Name, form.SignInName, form.ProgrammeName]));
        return refusals;

        void Need(string text, int most, string field, string message)
        {
            if (string.IsNullOrWhiteSpace(text))
            {
                refusals.Add(new Refusal(field, message));
            }
            else if (text.Trim().Length > most)
            {
                refusals.Add(new Refusal(field, $"At most {most} characters fit. Shorten it."));
            }
        }
    }
}
