using System.Net;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Hardening;
using Caseload.Web.Platform.Mail;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Mail;

/// <summary>Stopping the weekly digest by mail from a message, by a person or by a mail program (RFC 8058).</summary>
public sealed class MailStopTests(LoopbackSite site) : IClassFixture<LoopbackSite>
{
    private const string Off = "The weekly digest does not come by mail";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Button_StopsTheDigestAndNothingElse_AndSaysSoAtEveryVisit()
    {
        var (person, path) = await AddPersonAsync();
        using var client = site.Client();

        (await client.GetStringAsync(path, Ct)).ShouldContain("Stop the weekly digest by mail?");
        (await FindAsync(person)).WantsDigestMail.ShouldBeTrue();
        using (var answer = await PostAsync(client, path, "Button"))
        {
            answer.StatusCode.ShouldBe(HttpStatusCode.Found);
            answer.Headers.Location!.OriginalString.ShouldBe(path);
        }
        (await client.GetStringAsync(path, Ct)).ShouldContain(Off);

        var after = await FindAsync(person);
        after.WantsDigestMail.ShouldBeFalse();
        (after.Email, after.DisabledAt, after.SecurityStamp, after.PasswordHash).ShouldBe((person.Email, null, person.SecurityStamp, null));
    }

    [Fact]
    public async Task OneClick_FromAMailProgram_IsTakenOnceAndAnsweredTheSameAgain()
    {
        var (person, path) = await AddPersonAsync();
        using var client = site.Client();

        for (var times = 0; times < 2; times++)
        {
            using var answer = await PostAsync(client, path, "One-Click");
            (answer.StatusCode, await answer.Content.ReadAsStringAsync(Ct)).ShouldBe((HttpStatusCode.OK, ""));
        }

        (await FindAsync(person)).WantsDigestMail.ShouldBeFalse();
        await using var context = site.Services.GetRequiredService<CaseloadDb>().ForJob("test", person.ProgrammeId);
        var entry = await context.AccessEntries.SingleAsync(row => row.What == "account-digest-mail-off", Ct);
        (entry.PersonId, entry.Who, entry.Why, entry.Address).ShouldBe((person.Id, person.Name, "account", "127.0.0.1"));
    }

    [Fact]
    public async Task Secret_ThatIsNotGood_IsAnsweredLikeOneThatWasUsed()
    {
        var (person, path) = await AddPersonAsync();
        using var client = site.Client();
        using (await PostAsync(client, path, "One-Click")) { }
        var used = await ReadAsync(client, path);
        var secret = path.Split('/')[^1];
        string[] bad = ["nothing", secret[..^2], secret.ToUpperInvariant(), "%C3%A4", new string('A', 300)];

        foreach (var text in bad)
        {
            (await ReadAsync(client, MailStopLinks.Path + text)).ShouldBe(used, text);
            using var answer = await PostAsync(client, MailStopLinks.Path + text, "One-Click");
            answer.StatusCode.ShouldBe(HttpStatusCode.OK, text);
        }
        (await FindAsync(person)).DisabledAt.ShouldBeNull();
    }

    [Fact]
    public async Task Post_ThatAsksForNothing_ChangesNothing()
    {
        var (person, path) = await AddPersonAsync();
        using var client = site.Client();

        using var form = await client.PostAsync(path, new FormUrlEncodedContent([KeyValuePair.Create("x", "y")]), Ct);
        using var text = await client.PostAsync(path, new StringContent("List-Unsubscribe=One-Click"), Ct);

        (form.StatusCode, text.StatusCode).ShouldBe((HttpStatusCode.BadRequest, HttpStatusCode.BadRequest));
        (await FindAsync(person)).WantsDigestMail.ShouldBeTrue();
    }

    [Fact]
    [Trait("Requirement", "SEC-36")]
    public async Task Secret_StandsInNoLog()
    {
        var (_, path) = await AddPersonAsync();
        using var client = site.Client();
        await client.GetStringAsync(path, Ct);
        using (await PostAsync(client, path, "One-Click")) { }

        var log = await site.ReadLogAsync("POST", Ct);

        log.ShouldContain("/mail/stop/{Secret}");
        log.ShouldNotContain(path.Split('/')[^1]);
    }

    /// <summary>What a person reads; the framework's own particulars around it differ each time.</summary>
    private static async Task<string> ReadAsync(HttpClient client, string path)
    {
        var page = await client.GetStringAsync(path, Ct);
        return page[page.IndexOf("<main", StringComparison.Ordinal)..page.IndexOf("</main>", StringComparison.Ordinal)];
    }

    private static Task<HttpResponseMessage> PostAsync(HttpClient client, string path, string value) =>
        client.PostAsync(path, new FormUrlEncodedContent([KeyValuePair.Create("List-Unsubscribe", value)]), Ct);

    private async Task<(Person Person, string Path)> AddPersonAsync()
    {
        var at = site.Services.GetRequiredService<TimeProvider>().GetUtcNow();
        var db = site.Services.GetRequiredService<CaseloadDb>();
        var programmeId = Guid.CreateVersion7(at);
        await db.CreateProgrammeAsync(programmeId, "Stopping", "Europe/Dublin", at, Ct);
        await using var context = db.ForJob("test", programmeId);
        var person = Person.New(programmeId, Guid.CreateVersion7(at), "Ida Invented", $"ida-{programmeId}", [Role.Observer], at);
        person.Email = "ida@example.org";
        context.Add(person);
        await context.SaveChangesAsync(Ct);
        return (person, site.Services.GetRequiredService<MailStopLinks>().Make(programmeId, person.Id).AbsolutePath);
    }

    private async Task<Person> FindAsync(Person person)
    {
        await using var context = site.Services.GetRequiredService<CaseloadDb>().ForJob("test", person.ProgrammeId);
        return await context.People.AsNoTracking().SingleAsync(row => row.Id == person.Id, Ct);
    }
}
