namespace Caseload.Web.Platform;

/// <summary>What the program is asked to do.</summary>
public enum HostCommand
{
    /// <summary>Serve the web application.</summary>
    Serve,

    /// <summary>Bring the database to the present model and leave.</summary>
    Migrate,

    /// <summary>Check that no access record was altered, and leave.</summary>
    Verify,

    /// <summary>Print which role may do what.</summary>
    Permissions,

    /// <summary>Ask a running instance whether it is well, for containers without other tools.</summary>
    Health,

    /// <summary>Print how to use it.</summary>
    Help,
}

/// <summary>A start that cannot go on, with what to do.</summary>
public sealed class HostStartException(string message) : Exception(message);

/// <summary>The command line of the host.</summary>
/// <param name="Command">What to do.</param>
/// <param name="IsDemo">Whether to load the demo caseload.</param>
/// <param name="DataFolder">Where the private database and the logs are kept.</param>
/// <param name="Urls">Where to listen, or whom to ask.</param>
/// <param name="Today">A fixed day for the demo and its screenshots; null for the real one.</param>
public sealed record HostStart(HostCommand Command, bool IsDemo, string DataFolder, string? Urls, DateOnly? Today)
{
    private const string Usage = """
        Caseload.Web [--demo] [--data FOLDER] [--urls ADDRESS] [--today DATE]
        Caseload.Web migrate [--data FOLDER]
        Caseload.Web verify [--data FOLDER]
        Caseload.Web permissions
        Caseload.Web health --urls ADDRESS

        ConnectionStrings__Caseload (and ConnectionStrings__CaseloadOwner for migrate) are used instead of a private
        database when set; CASELOAD_DB_PASSWORD_FILE and CASELOAD_DB_OWNER_PASSWORD_FILE hold their passwords.
        CASELOAD_PUBLIC_ADDRESS and CASELOAD_PROXY are needed to serve other machines; deploy/proxy.md has all settings.

        verify checks the access record of every programme. It prints one line for each, with the newest entry's hash to
        note elsewhere, and ends with 0 when all are intact, 1 when one was altered, 2 when one could not be checked.
        """;

    /// <summary>Reads the command line; anything not known is refused by name.</summary>
    public static HostStart Parse(string[] arguments)
    {
        var command = HostCommand.Serve;
        var isDemo = false;
        string? data = null;
        string? urls = null;
        DateOnly? today = null;
        for (var index = 0; index < arguments.Length; index++)
        {
            var (name, inline) = Split(arguments[index]);
            switch (name)
            {
                case "migrate":
                    command = HostCommand.Migrate;
                    break;
                case "verify":
                    command = HostCommand.Verify;
                    break;
                case "permissions":
                    command = HostCommand.Permissions;
                    break;
                case "health":
                    command = HostCommand.Health;
                    break;
                case "--help" or "-h":
                    command = HostCommand.Help;
                    break;
                case "--demo":
                    isDemo = true;
                    break;
                case "--data":
                    data = Value();
                    break;
                case "--urls":
                    urls = Value();
                    break;
                case "--today":
                    today = DateOnly.TryParseExact(
                        Value(),
                        "yyyy-MM-dd",
                        System.Globalization.CultureInfo.InvariantCulture,
                        System.Globalization.DateTimeStyles.None,
                        out var on
                    )
                        ? on
                        : throw new HostStartException("--today needs a date, for example 2026-11-25.");
                    break;
                default:
                    throw new HostStartException($"\"{arguments[index]}\" is not known. Use --help to see what is.");
            }

            string Value() =>
                inline ?? (++index < arguments.Length ? arguments[index] : throw new HostStartException($"{name} needs a value after it."));
        }
        return new HostStart(command, isDemo, data ?? DefaultDataFolder(isDemo), urls, today);
    }

    /// <summary>Prints how to use it.</summary>
    public static int PrintUsage()
    {
        Console.WriteLine(Usage);
        return 0;
    }

    private static (string Name, string? Inline) Split(string argument)
    {
        var at = argument.StartsWith("--", StringComparison.Ordinal) ? argument.IndexOf('=', StringComparison.Ordinal) : -1;
        return at < 0 ? (argument, null) : (argument[..at], argument[(at + 1)..]);
    }

    private static string DefaultDataFolder(bool isDemo)
    {
        var folder =
            Environment.GetEnvironmentVariable("CASELOAD_DATA")
            ?? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData), "caseload");
        return isDemo ? folder + "-demo" : folder;
    }
}
