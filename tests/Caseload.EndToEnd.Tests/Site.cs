using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Caseload.Data.Setup;
using Caseload.Testing;
using Microsoft.Playwright;
using OtpNet;

[assembly: AssemblyFixture(typeof(Caseload.EndToEnd.Tests.MigratedPostgres))]
[assembly: AssemblyFixture(typeof(Caseload.EndToEnd.Tests.Chromium))]

namespace Caseload.EndToEnd.Tests;

/// <summary>The server with the present model in its template.</summary>
public sealed class MigratedPostgres()
    : PostgresFixture(async owner =>
    {
        await DatabaseSetup.MigrateAsync(owner);
        await DatabaseSetup.EnsureAppRoleGrantsAsync(owner, Caseload.Data.PrivateCluster.PrivateCluster.AppRole);
    });

/// <summary>The application as a process of its own on a database of its own, at a day that never changes.</summary>
public abstract class Site(MigratedPostgres postgres, Chromium chromium, bool isDemo) : IAsyncLifetime
{
    /// <summary>The day every site believes it is.</summary>
    public static readonly DateOnly TodayOn = new(2026, 11, 25);

    private readonly string _dataFolder = Directory.CreateTempSubdirectory("caseload-site-").FullName;
    private readonly List<string> _output = [];
    private readonly Dictionary<string, string> _storageStates = [];
    private TestDatabase? _database;
    private Process? _process;

    /// <summary>Where it answers.</summary>
    public string Address { get; } = $"http://127.0.0.1:{FreePort()}";

    /// <summary>The owner's connection, for looking behind the screens.</summary>
    public string OwnerConnectionString => _database!.OwnerConnectionString;

    /// <summary>Where the log is written.</summary>
    public string LogFolder => Path.Combine(_dataFolder, "logs");

    /// <summary>Who tests act as unless they say otherwise.</summary>
    protected abstract string UsualSignInName { get; }

    /// <summary>What the program printed, line by line.</summary>
    protected IReadOnlyList<string> Output
    {
        get
        {
            lock (_output)
            {
                return [.. _output];
            }
        }
    }

    /// <summary>What the clock of the program shows, to the second: it began in the middle of the day when the program started.</summary>
    public DateTime ClockAt =>
        TodayOn.ToDateTime(new TimeOnly(17, 0), DateTimeKind.Utc)
        + (TimeProvider.System.GetUtcNow().UtcDateTime - _process!.StartTime.ToUniversalTime());

    /// <summary>A page in a fresh browser in which somebody has signed in.</summary>
    public async Task<IPage> OpenAsync(int width = 1024, int height = 768, bool isDark = false, string? who = null)
    {
        var name = who ?? UsualSignInName;
        if (!_storageStates.TryGetValue(name, out var state))
        {
            var page = await chromium.OpenAsync();
            await SignInAsync(page, name);
            _storageStates[name] = state = await page.Context.StorageStateAsync();
            await page.Context.CloseAsync();
        }
        return await chromium.OpenAsync(width, height, isDark, state);
    }

    /// <summary>A page in a fresh browser in which nobody has signed in.</summary>
    public Task<IPage> OpenSignedOutAsync(int width = 1024, int height = 768) => chromium.OpenAsync(width, height);

    /// <summary>Signs somebody in on a page, as a person would.</summary>
    public abstract Task SignInAsync(IPage page, string who);

    /// <inheritdoc />
    public virtual async ValueTask InitializeAsync()
    {
        _database = await postgres.CreateDatabaseAsync();
        var program = WebProgram();
        var start = new ProcessStartInfo("dotnet")
        {
            UseShellExecute = false,
            RedirectStandardError = true,
            RedirectStandardOutput = true,
            WorkingDirectory = Path.GetDirectoryName(program)!,
            Environment =
            {
                ["ConnectionStrings__Caseload"] = _database.AppConnectionString,
                ["ConnectionStrings__CaseloadOwner"] = _database.OwnerConnectionString,
            },
        };
        string[] arguments = [program, "--urls", Address, "--data", _dataFolder, "--today", TodayOn.ToString("O", null)];
        foreach (var argument in isDemo ? [.. arguments, "--demo"] : arguments)
        {
            start.ArgumentList.Add(argument);
        }
        _process = Process.Start(start)!;
        var errors = new List<string>();
        _process.ErrorDataReceived += (_, line) =>
        {
            lock (errors)
            {
                errors.Add(line.Data ?? "");
            }
        };
        _process.OutputDataReceived += (_, line) =>
        {
            lock (_output)
            {
                _output.Add(line.Data ?? "");
            }
        };
        _process.BeginErrorReadLine();
        _process.BeginOutputReadLine();

        using var client = new HttpClient();
        for (var tries = 0; ; tries++)
        {
            try
            {
                if ((await client.GetAsync(new Uri(Address + "/health/ready"))).IsSuccessStatusCode)
                {
                    return;
                }
            }
            catch (HttpRequestException) when (tries < 1200 && !_process.HasExited)
            {
                // Not listening yet.
            }
            lock (errors)
            {
                _process.HasExited.ShouldBeFalse("The application ended: " + string.Join('\n', errors));
                tries.ShouldBeLessThan(1200, "The application did not get ready: " + string.Join('\n', errors));
            }
            await Task.Delay(100);
        }
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        GC.SuppressFinalize(this);
        if (_process is not null)
        {
            _process.Kill(entireProcessTree: true);
            await _process.WaitForExitAsync();
            _process.Dispose();
        }
        if (_database is not null)
        {
            await _database.DisposeAsync();
        }
        Directory.Delete(_dataFolder, recursive: true);
    }

    /// <summary>The web project's own output: it has the static files that a test project's output lacks.</summary>
    private static string WebProgram()
    {
        var here = new DirectoryInfo(AppContext.BaseDirectory);
        var configuration = here.Parent!.Name;
        var root = here;
        while (!File.Exists(Path.Combine(root.FullName, "Caseload.sln")))
        {
            root = root.Parent ?? throw new InvalidOperationException("The tests do not lie below the solution.");
        }
        return Path.Combine(root.FullName, "src", "Caseload.Web", "bin", configuration, here.Name, "Caseload.Web.dll");
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}

/// <summary>A site with the demo caseload; tests only read it. The invented people's passwords are taken from what the program prints.</summary>
public sealed class DemoSite(MigratedPostgres postgres, Chromium chromium) : Site(postgres, chromium, isDemo: true)
{
    /// <summary>The demo's team lead.</summary>
    public const string Lead = "isadora";

    /// <summary>One of the demo's clinicians.</summary>
    public const string Clinician = "marigold";

    /// <summary>The demo's administrator.</summary>
    public const string Administrator = "ambrose";

    /// <summary>The demo's observer.</summary>
    public const string Observer = "cordelia";

    /// <inheritdoc />
    protected override string UsualSignInName => Lead;

    /// <summary>The password that the program made for an invented person.</summary>
    public string PasswordOf(string who) =>
        Output.Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries)).Single(words => words.Length >= 3 && words[0] == who)[
            1
        ];

    /// <inheritdoc />
    public override async Task SignInAsync(IPage page, string who)
    {
        await page.GotoAsync(Address + "/account/sign-in");
        await page.Locator("#name").FillAsync(who);
        await page.Locator("#password").FillAsync(PasswordOf(who));
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in", Exact = true }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).WaitForAsync();
    }
}

/// <summary>A site that was empty until its first administrator, who leads the team as well, set it up by the printed link.</summary>
public sealed class EmptySite(MigratedPostgres postgres, Chromium chromium) : Site(postgres, chromium, isDemo: false)
{
    private const string Password = "lantern otter marble seventeen";
    private string _secret = "";

    /// <inheritdoc />
    protected override string UsualSignInName => "winifred";

    /// <summary>The link that was printed at the start.</summary>
    public string SetupLink => Output.Single(line => line.Contains("/setup/", StringComparison.Ordinal)).Trim();

    /// <inheritdoc />
    public override async ValueTask InitializeAsync()
    {
        await base.InitializeAsync();
        var page = await OpenSignedOutAsync();
        await page.GotoAsync(SetupLink);
        await page.Locator("#programme").FillAsync("Saltmarsh Infants");
        await page.Locator("#time-zone").FillAsync("America/Chicago");
        await page.Locator("#name").FillAsync("Winifred Hopscotch");
        await page.Locator("#sign-in-name").FillAsync(UsualSignInName);
        await page.Locator("#password").FillAsync(Password);
        await page.Locator("#again").FillAsync(Password);
        await page.GetByLabel("I lead the team as well").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Create the programme" }).ClickAsync();
        _secret = (await page.Locator(".pairing-key").InnerTextAsync()).Replace(" ", "", StringComparison.Ordinal);
        await page.Locator("#code").FillAsync(CodeAt(ClockAt.AddSeconds(-30)));
        await page.GetByRole(AriaRole.Button, new() { Name = "Pair it" }).ClickAsync();
        await page.GetByText("I have kept them").ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).WaitForAsync();
        await page.Context.CloseAsync();
    }

    /// <inheritdoc />
    public override async Task SignInAsync(IPage page, string who)
    {
        await page.GotoAsync(Address + "/account/sign-in");
        await page.Locator("#name").FillAsync(who);
        await page.Locator("#password").FillAsync(Password);
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in", Exact = true }).ClickAsync();
        await page.Locator("#code").FillAsync(CodeAt(ClockAt.AddSeconds(30)));
        await page.GetByRole(AriaRole.Button, new() { Name = "Go on" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).WaitForAsync();
    }

    private string CodeAt(DateTime at) => new Totp(Base32Encoding.ToBytes(_secret)).ComputeTotp(at);
}
