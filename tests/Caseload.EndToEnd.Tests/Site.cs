using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Caseload.Data.Setup;
using Caseload.Testing;

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
public abstract class Site(MigratedPostgres postgres, bool isDemo) : IAsyncLifetime
{
    /// <summary>The day every site believes it is.</summary>
    public static readonly DateOnly TodayOn = new(2026, 11, 25);

    private readonly string _dataFolder = Directory.CreateTempSubdirectory("caseload-site-").FullName;
    private readonly List<string> _output = [];
    private TestDatabase? _database;
    private Process? _process;

    /// <summary>Where it answers.</summary>
    public string Address { get; } = $"http://127.0.0.1:{FreePort()}";

    /// <summary>The owner's connection, for looking behind the screens.</summary>
    public string OwnerConnectionString => _database!.OwnerConnectionString;

    /// <summary>Where the log is written.</summary>
    public string LogFolder => Path.Combine(_dataFolder, "logs");

    /// <summary>What the program printed.</summary>
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

    /// <inheritdoc />
    public async ValueTask InitializeAsync()
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

/// <summary>A site with the demo caseload; tests only read it.</summary>
public sealed class DemoSite(MigratedPostgres postgres) : Site(postgres, isDemo: true)
{
    /// <summary>The password that the program made for an invented person.</summary>
    public string PasswordOf(string who) =>
        Output.Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries)).Single(words => words.Length >= 3 && words[0] == who)[
            1
        ];
}

/// <summary>A site with an empty programme.</summary>
public sealed class EmptySite(MigratedPostgres postgres) : Site(postgres, isDemo: false);
