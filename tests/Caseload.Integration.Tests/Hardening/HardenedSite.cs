using Caseload.Testing;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Configuration;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>The real host on a database of its own, listening on a loopback port.</summary>
public class HardenedSite(MigratedPostgres postgres, params (string Name, string Value)[] settings) : IAsyncLifetime
{
    /// <summary>What an endpoint of the tests throws; it must be seen nowhere.</summary>
    public const string Secret = "Wilhelmina Obviously-Invented";

    private readonly string _dataFolder = Directory.CreateTempSubdirectory("caseload-hard-").FullName;
    private TestDatabase? _database;
    private DatabaseAccess? _access;
    private WebApplication? _app;

    public Uri Address => new(_app!.Urls.Single());

    public IServiceProvider Services => _app!.Services;

    public TestDatabase Database => _database!;

    public string DataFolder => _dataFolder;

    public async ValueTask InitializeAsync()
    {
        _database = await postgres.CreateDatabaseAsync();
        await KeyTables.EnsureAsync(_database);
        _app = await BuildAsync();
        // Endpoints that fail in the ways the application's own never should.
        _app.MapGet("/test/throws/{id}", (string id) => Throw(id)).AllowAnonymous();
        _app.MapPost("/test/throws/{id}", (string id) => Throw(id)).AllowAnonymous();
        _app.MapPost("/account/test", () => Results.Text("accepted")).AllowAnonymous();
        _app.MapPost("/elsewhere/test", (HttpRequest request) => CountAsync(request)).AllowAnonymous();
        _app.MapGet("/test/bad", () => Results.BadRequest()).AllowAnonymous();
        _app.MapGet("/test/moved", () => Results.Redirect("/")).AllowAnonymous();
        _app.MapGet("/test/client", (HttpContext context) => $"{context.Connection.RemoteIpAddress} {context.Request.Scheme}")
            .AllowAnonymous();
        _app.MapGet(
                "/test/cookie",
                (HttpContext context) =>
                {
                    context.Response.Cookies.Append("planted", "x");
                    return "";
                }
            )
            .AllowAnonymous();
        await _app.StartAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (_app is not null)
        {
            await _app.StopAsync();
            await _app.DisposeAsync();
        }
        await _access!.DisposeAsync();
        await _database!.DisposeAsync();
        Directory.Delete(_dataFolder, recursive: true);
        GC.SuppressFinalize(this);
    }

    /// <summary>A client that keeps no cookies and follows no redirect.</summary>
    public HttpClient Client() => new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = Address };

    /// <summary>A request as the public address's proxy would pass it on.</summary>
    public static HttpRequestMessage Request(HttpMethod method, string path, params (string Name, string Value)[] headers)
    {
        var request = new HttpRequestMessage(method, path);
        foreach (var (name, value) in headers)
        {
            request.Headers.TryAddWithoutValidation(name, value).ShouldBeTrue();
        }
        return request;
    }

    /// <summary>Everything that was logged so far.</summary>
    public async Task<string> ReadLogAsync(string until, CancellationToken ct)
    {
        for (var tries = 0; ; tries++)
        {
            var text = "";
            foreach (var file in Directory.GetFiles(Path.Combine(_dataFolder, "logs")))
            {
                await using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
                using var reader = new StreamReader(stream);
                text += await reader.ReadToEndAsync(ct);
            }
            if (text.Contains(until, StringComparison.Ordinal) || tries == 50)
            {
                return text;
            }
            await Task.Delay(100, ct);
        }
    }

    private async Task<WebApplication> BuildAsync()
    {
        var start = new HostStart(HostCommand.Serve, IsDemo: false, _dataFolder, "http://127.0.0.1:0", Today: null);
        var configuration = Settings([("ConnectionStrings:Caseload", Database.AppConnectionString), .. settings]);
        _access = await DatabaseAccess.OpenAsync(start, configuration, _ => { }, CancellationToken.None);
        return WebHost.Build(start, _access, configuration);
    }

    public static IConfiguration Settings(params (string Name, string Value)[] settings) =>
        new ConfigurationBuilder()
            .AddInMemoryCollection(settings.Select(setting => KeyValuePair.Create<string, string?>(setting.Name, setting.Value)))
            .Build();

    private static string Throw(string id) => throw new InvalidOperationException($"{Secret} could not be saved as {id}.");

    private static async Task<IResult> CountAsync(HttpRequest request)
    {
        using var memory = new MemoryStream();
        await request.Body.CopyToAsync(memory);
        return Results.Text(memory.Length.ToString(System.Globalization.CultureInfo.InvariantCulture));
    }
}

/// <summary>As it runs for a demo: plain HTTP on loopback.</summary>
public sealed class LoopbackSite(MigratedPostgres postgres) : HardenedSite(postgres);

/// <summary>As it runs for a team: behind a proxy on this machine that does TLS.</summary>
public sealed class SecureSite(MigratedPostgres postgres)
    : HardenedSite(
        postgres,
        ("CASELOAD_PUBLIC_ADDRESS", "https://caseload.example.org"),
        ("CASELOAD_PROXY", "127.0.0.1"),
        ("CASELOAD_OIDC_AUTHORITY", "https://login.example.org/realms/team"),
        ("CASELOAD_OIDC_CLIENT_ID", "caseload")
    )
{
    /// <summary>What the proxy says about a browser that came over TLS.</summary>
    public static readonly (string Name, string Value)[] Forwarded =
    [
        ("Host", "caseload.example.org"),
        ("X-Forwarded-Proto", "https"),
        ("X-Forwarded-For", "203.0.113.7"),
    ];
}
