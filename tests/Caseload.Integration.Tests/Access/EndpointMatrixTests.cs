using System.Net;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Hardening;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Options;

namespace Caseload.Integration.Tests.Access;

/// <summary>Every address of the running host, asked by everybody. A new endpoint without a line here fails.</summary>
public sealed class EndpointMatrixTests(LoopbackSite site) : IClassFixture<LoopbackSite>
{
    private const string Everybody = "everybody";

    /// <summary>What answers whom: a page's address and who gets it, of administrator, lead, observer, clinician.</summary>
    private static readonly Dictionary<string, string> _pages = new()
    {
        ["/"] = "-LOC",
        ["/alerts"] = "-LOC",
        ["/children"] = "-LOC",
        ["/matrix"] = "-LOC",
        ["/children/new"] = "-L-C",
        ["/children/by-reason"] = "---C",
        ["/children/{ChildId:guid}"] = "-LOC",
        ["/children/{ChildId:guid}/edit"] = "-L-C",
        ["/children/{ChildId:guid}/family"] = "-LOC",
        ["/children/{ChildId:guid}/report"] = "-LOC",
        ["/summary"] = "-LOC",
        ["/visits/new"] = "-L-C",
        ["/visits/{Id:guid}"] = "-LOC",
        ["/digests"] = "-LOC",
        ["/digests/{DigestId:guid}"] = "-LOC",
        ["/programme"] = "ALOC",
        ["/reference"] = "ALOC",
        ["/reference/{ItemId}"] = "ALOC",
        ["/reference/concerns"] = "ALOC",
        ["/reference/sources"] = "ALOC",
        ["/reference/versions"] = "ALOC",
        ["/reference/edit"] = "-L--",
        ["/people"] = "A---",
        ["/people/new"] = "A---",
        ["/people/{PersonId:guid}"] = "A---",
        ["/people/access"] = "A---",
        ["/team"] = "-L--",
        ["/team/away"] = "-L--",
        ["/team/suggest"] = "-L--",
        ["/team/numbers"] = "-LO-",
        ["/visits/plan"] = "-LOC",
        ["/jobs"] = "A---",
        ["/record"] = "ALO-",
        ["/mail"] = "A---",
        ["/mail/mine"] = "ALOC",
        ["/mail/mine/{Id:guid}"] = "ALOC",
        ["/calendar/{Secret}"] = Everybody,
        ["/mail/stop/{Secret}"] = Everybody,
        ["/account"] = "ALOC",
        ["/account/password"] = "ALOC",
        ["/account/passkeys"] = "ALOC",
        ["/account/authenticator"] = "ALOC",
        ["/account/authenticator/remove"] = "ALOC",
        ["/account/recovery-codes"] = "ALOC",
        ["/account/sign-in"] = Everybody,
        ["/account/code"] = Everybody,
        ["/account/second-factor"] = Everybody,
        ["/account/signed-out"] = Everybody,
        ["/account/external"] = Everybody,
        ["/setup/{Secret}"] = Everybody,
        ["/welcome"] = Everybody,
        ["/welcome/{Secret}"] = Everybody,
        ["/error"] = Everybody,
        ["/not-found"] = Everybody,
    };

    /// <summary>Endpoints that are no pages, by how their address begins, and whether they are open to everybody.</summary>
    private static readonly (string Start, bool IsOpen)[] _others =
    [
        ("/health/ready", true),
        ("/account/passkeys/ask", true),
        ("/account/passkeys/new", false),
        ("/_blazor", false),
        ("/_framework/opaque-redirect", false),
        // Where a file would be that the program does not have.
        ("/{**path:file}", false),
        ("/test/", true),
        ("/account/test", true),
        ("/elsewhere/test", true),
    ];

    private static readonly (char Letter, Role Role)[] _roles =
    [
        ('A', Role.Administrator),
        ('L', Role.TeamLead),
        ('O', Role.Observer),
        ('C', Role.Clinician),
    ];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    [Trait("Requirement", "SEC-01")]
    public void Endpoints_All_StandInTheMatrix()
    {
        var unknown = Endpoints()
            .Where(endpoint => !IsFile(endpoint))
            .Select(endpoint => "/" + endpoint.RoutePattern.RawText!.TrimStart('/'))
            .Where(route => !_pages.ContainsKey(route) && !_others.Any(other => route.StartsWith(other.Start, StringComparison.Ordinal)))
            .Distinct();

        unknown.ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-01")]
    public void Endpoints_OpenToEverybody_AreTheListedOnes()
    {
        var wrong = Endpoints()
            .Where(endpoint => !IsFile(endpoint))
            .Select(endpoint =>
                (
                    Route: "/" + endpoint.RoutePattern.RawText!.TrimStart('/'),
                    IsOpen: endpoint.Metadata.GetMetadata<Microsoft.AspNetCore.Authorization.IAllowAnonymous>() is not null
                )
            )
            .Where(endpoint => endpoint.IsOpen != ShouldBeOpen(endpoint.Route));

        wrong.ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-01")]
    public async Task Pages_AskedByEverybody_AnswerWhomTheyShould()
    {
        var cookies = new Dictionary<char, string>();
        var programmeId = await AddProgrammeAsync();
        foreach (var (letter, role) in _roles)
        {
            cookies[letter] = await CookieAsync(programmeId, role);
        }
        using var client = site.Client();
        var unexpected = new List<string>();
        var tried = 0;
        foreach (var (route, letters) in _pages)
        {
            var path = Fill(route);
            using (var anonymous = await client.GetAsync(path, Ct))
            {
                tried++;
                var isTurnedAway =
                    anonymous.StatusCode == HttpStatusCode.Found
                    && anonymous.Headers.Location!.OriginalString.Contains("/account/sign-in", StringComparison.Ordinal);
                if (letters != Everybody && !isTurnedAway)
                {
                    unexpected.Add($"{path} for a visitor: {(int)anonymous.StatusCode}");
                }
            }
            foreach (var (letter, _) in _roles)
            {
                tried++;
                using var request = HardenedSite.Request(HttpMethod.Get, path, ("Cookie", cookies[letter]));
                using var answer = await client.SendAsync(request, Ct);
                var expected = letters == Everybody || letters.Contains(letter, StringComparison.Ordinal);
                var isLetIn = answer.StatusCode != HttpStatusCode.Forbidden;
                if (isLetIn != expected || (int)answer.StatusCode >= 500)
                {
                    unexpected.Add($"{path} for {letter}: {(int)answer.StatusCode}");
                }
            }
        }

        unexpected.ShouldBeEmpty();
        tried.ShouldBe(_pages.Count * (1 + _roles.Length));
    }

    [Theory]
    [InlineData("/account/sign-in", "sign-in")]
    [InlineData("/welcome", "invitation")]
    [Trait("Requirement", "SEC-21")]
    public async Task Form_PostedWithoutItsToken_IsRefused(string path, string form)
    {
        using var client = site.Client();
        using var answer = await client.PostAsync(
            path,
            new FormUrlEncodedContent([KeyValuePair.Create("_handler", form), KeyValuePair.Create("Form.Name", "x")]),
            Ct
        );

        answer.StatusCode.ShouldBe(HttpStatusCode.BadRequest);
    }

    private IEnumerable<RouteEndpoint> Endpoints() =>
        site.Services.GetServices<EndpointDataSource>().SelectMany(source => source.Endpoints).OfType<RouteEndpoint>();

    // Static files are the program itself; they hold nothing of anybody.
    private static bool IsFile(RouteEndpoint endpoint) =>
        endpoint.Metadata.Any(item => item.GetType().Name.Contains("StaticAsset", StringComparison.Ordinal));

    private static bool ShouldBeOpen(string route) =>
        _pages.TryGetValue(route, out var letters)
            ? letters == Everybody
            : _others.Any(other => other.IsOpen && route.StartsWith(other.Start, StringComparison.Ordinal));

    private static string Fill(string route) =>
        route
            .Replace("{ChildId:guid}", Guid.Empty.ToString(), StringComparison.Ordinal)
            .Replace("{DigestId:guid}", Guid.Empty.ToString(), StringComparison.Ordinal)
            .Replace("{Id:guid}", Guid.Empty.ToString(), StringComparison.Ordinal)
            .Replace("{PersonId:guid}", Guid.Empty.ToString(), StringComparison.Ordinal)
            .Replace("{ItemId}", "moro", StringComparison.Ordinal)
            .Replace("{Secret}", "nothing", StringComparison.Ordinal);

    private async Task<Guid> AddProgrammeAsync()
    {
        var at = site.Services.GetRequiredService<TimeProvider>().GetUtcNow();
        var id = Guid.CreateVersion7(at);
        await site.Services.GetRequiredService<CaseloadDb>().CreateProgrammeAsync(id, "Matrix", "Europe/Dublin", at, Ct);
        return id;
    }

    /// <summary>The cookie of a person with one role, made with the host's own keys.</summary>
    private async Task<string> CookieAsync(Guid programmeId, Role role)
    {
        var at = site.Services.GetRequiredService<TimeProvider>().GetUtcNow();
        await using var context = site.Services.GetRequiredService<CaseloadDb>().ForJob("test", programmeId);
        var person = Person.New(programmeId, Guid.CreateVersion7(at), "Matrix Person", $"matrix-{role}", [role], at);
        if (role == Role.Clinician)
        {
            context.Add(
                new Data.Programmes.Clinician
                {
                    ProgrammeId = programmeId,
                    Id = person.Id,
                    Name = person.Name,
                    Initials = "MP",
                    Discipline = Data.Programmes.Discipline.OccupationalTherapy,
                }
            );
            person.ClinicianId = person.Id;
        }
        var signIn = new SignIn
        {
            ProgrammeId = programmeId,
            Id = Guid.CreateVersion7(at),
            PersonId = person.Id,
            StartedAt = at,
            LastSeenAt = at,
            ExpiresAt = at.AddHours(1),
            Method = SignInMethod.Password,
            Address = "127.0.0.1",
            Device = "a test",
        };
        context.AddRange(person, signIn);
        await context.SaveChangesAsync(Ct);
        var options = site.Services.GetRequiredService<IOptionsMonitor<CookieAuthenticationOptions>>().Get(SignInCookies.Scheme);
        var principal = new SignInClaims(person.Id, signIn.Id).ToPrincipal(SignInCookies.Scheme);
        var ticket = new AuthenticationTicket(
            principal,
            new AuthenticationProperties { IssuedUtc = at, ExpiresUtc = at.AddHours(1) },
            SignInCookies.Scheme
        );
        return $"{options.Cookie.Name}={options.TicketDataFormat.Protect(ticket)}";
    }
}
