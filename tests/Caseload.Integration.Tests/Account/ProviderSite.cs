using System.Net;
using System.Security.Cryptography;
using System.Text.RegularExpressions;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Hardening;
using Caseload.Integration.Tests.Store;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Account;

/// <summary>The real host with the invented provider beside it, and a programme whose people need no second factor until a test asks for it.</summary>
public sealed class ProviderSite(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly string _secretFile = Path.GetTempFileName();
    private InventedProvider? _provider;
    private HardenedSite? _site;

    internal InventedProvider Provider => _provider!;

    internal HardenedSite Site => _site!;

    internal Guid ProgrammeId { get; } = StoreFixture.NewId();

    /// <summary>The host and the browser keep the real time.</summary>
    internal static DateTimeOffset NowAt => TimeProvider.System.GetUtcNow();

    private CaseloadDb Db => Site.Services.GetRequiredService<CaseloadDb>();

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _provider = await InventedProvider.StartAsync();
        await File.WriteAllTextAsync(_secretFile, InventedProvider.ClientSecret + "\n");
        _site = new HardenedSite(
            postgres,
            ("CASELOAD_OIDC_AUTHORITY", Provider.Issuer),
            ("CASELOAD_OIDC_CLIENT_ID", InventedProvider.ClientId),
            ("CASELOAD_OIDC_CLIENT_SECRET_FILE", _secretFile),
            ("CASELOAD_OIDC_LABEL", "the Invented Clinic")
        );
        await _site.InitializeAsync();
        await Db.CreateProgrammeAsync(ProgrammeId, "Programme", "Europe/Dublin", NowAt, CancellationToken.None);
        await AskForSecondFactorAsync(isAsked: false);
    }

    public async ValueTask DisposeAsync()
    {
        await Site.DisposeAsync();
        await Provider.DisposeAsync();
        File.Delete(_secretFile);
    }

    /// <summary>A name that nobody else has.</summary>
    internal static string NewName() => RandomNumberGenerator.GetHexString(16, lowercase: true);

    /// <summary>An account at the provider that nobody else has.</summary>
    internal static (string Email, string Subject) NewAccount() => (NewName() + "@example.org", "subject-" + NewName());

    /// <summary>A person, and their account with something changed, which comes next.</summary>
    internal async Task<Guid> PrepareAsync(Func<InventedAccount, InventedAccount> change)
    {
        var (email, subject) = NewAccount();
        Provider.Account = change(new InventedAccount(subject, email));
        return await AddPersonAsync(email);
    }

    internal CaseloadDbContext Context() => Db.ForJob("test", ProgrammeId);

    internal Browser Open() => new(Site.Address);

    /// <summary>A lead with an e-mail address; the first page has something for them.</summary>
    internal async Task<Guid> AddPersonAsync(string? email, Action<Person>? change = null)
    {
        var at = NowAt;
        var person = Person.New(ProgrammeId, Guid.CreateVersion7(at), "Given Family", "person-" + NewName(), [Role.TeamLead], at);
        person.Email = email;
        change?.Invoke(person);
        await using var context = Context();
        context.Add(person);
        await context.SaveChangesAsync(Ct);
        return person.Id;
    }

    internal async Task ChangeAsync(Guid personId, Action<Person> change)
    {
        await using var context = Context();
        change(await context.People.SingleAsync(person => person.Id == personId, Ct));
        await context.SaveChangesAsync(Ct);
    }

    internal async Task AskForSecondFactorAsync(bool isAsked)
    {
        await using var context = Context();
        (await context.Programmes.SingleAsync(Ct)).AccessPolicy = AccessPolicy.Default with
        {
            AdministratorsNeedSecondFactor = isAsked,
            TeamLeadsNeedSecondFactor = isAsked,
            CliniciansNeedSecondFactor = isAsked,
            ObserversNeedSecondFactor = isAsked,
        };
        await context.SaveChangesAsync(Ct);
    }

    internal async Task<IReadOnlyList<PersonLogin>> LoginsAsync(Guid personId)
    {
        await using var context = Context();
        return await context.PersonLogins.AsNoTracking().Where(row => row.PersonId == personId).ToListAsync(Ct);
    }

    internal async Task<IReadOnlyList<SignInMethod>> SignInsAsync(Guid personId)
    {
        await using var context = Context();
        return await context
            .SignIns.Where(row => row.PersonId == personId)
            .OrderBy(row => row.Id)
            .Select(row => row.Method)
            .ToListAsync(Ct);
    }

    internal async Task<int> CountRecordedAsync(Guid personId, string what)
    {
        await using var context = Context();
        return await context.AccessEntries.CountAsync(entry => entry.PersonId == personId && entry.What == what, Ct);
    }
}

/// <summary>A browser that keeps cookies and is led by hand.</summary>
internal sealed partial class Browser : IDisposable
{
    private readonly HttpClient _client;

    internal Browser(Uri address)
    {
        Address = address;
        _client = new HttpClient(
            new SocketsHttpHandler
            {
                AllowAutoRedirect = false,
                UseCookies = true,
                CookieContainer = Cookies,
            }
        )
        {
            BaseAddress = address,
        };
    }

    internal CookieContainer Cookies { get; } = new();

    internal Uri Address { get; }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => _client.Dispose();

    internal Task<HttpResponseMessage> GetAsync(string address, params (string Name, string Value)[] headers) =>
        _client.SendAsync(HardenedSite.Request(HttpMethod.Get, address, headers), Ct);

    /// <summary>Where an address leads.</summary>
    internal async Task<string> FollowAsync(string address)
    {
        using var answer = await GetAsync(address);
        answer.StatusCode.ShouldBe(HttpStatusCode.Redirect);
        return answer.Headers.Location!.OriginalString;
    }

    /// <summary>From the start over the provider to the callback's address, which is not yet asked for.</summary>
    internal async Task<string> ComeBackAsync(string start = "/account/external/start") => await FollowAsync(await FollowAsync(start));

    /// <summary>The whole way to the page after the answer's; where that one leads, or what it says.</summary>
    internal async Task<Arrival> SignInAsync(string start = "/account/external/start") =>
        await ArriveAsync(await FollowAsync(await ComeBackAsync(start)));

    internal async Task<Arrival> ArriveAsync(string address)
    {
        using var answer = await GetAsync(address);
        return new Arrival(answer.StatusCode, PathOf(answer.Headers.Location), await answer.Content.ReadAsStringAsync(Ct));
    }

    /// <summary>Sends a page's first form with what is typed.</summary>
    internal async Task<Arrival> SubmitAsync(string address, params (string Name, string Value)[] typed)
    {
        var page = (await ArriveAsync(address)).Text;
        var hidden = HiddenField()
            .Matches(page)
            .Select(match => KeyValuePair.Create(match.Groups["name"].Value, WebUtility.HtmlDecode(match.Groups["value"].Value)))
            .DistinctBy(field => field.Key)
            .ToList();
        using var content = new FormUrlEncodedContent([.. hidden, .. typed.Select(field => KeyValuePair.Create(field.Name, field.Value))]);
        using var answer = await _client.PostAsync(address, content, Ct);
        return new Arrival(answer.StatusCode, PathOf(answer.Headers.Location), await answer.Content.ReadAsStringAsync(Ct));
    }

    internal bool Has(string cookie) => Cookies.GetCookies(Address).Any(kept => kept.Name == cookie);

    [GeneratedRegex("<input type=\"hidden\" name=\"(?<name>[^\"]+)\" value=\"(?<value>[^\"]*)\"", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex HiddenField();

    private string? PathOf(Uri? location) => location is null ? null : new Uri(Address, location).PathAndQuery;
}

/// <summary>What came in the end.</summary>
internal sealed record Arrival(HttpStatusCode Status, string? LeadsTo, string Text);
