using System.Globalization;
using Caseload.Data.Papers;
using Caseload.Domain;

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

    /// <summary>Write a caseload summary into a file, and leave.</summary>
    Summary,

    /// <summary>Ask a running instance whether it is well, for containers without other tools.</summary>
    Health,

    /// <summary>Print how to use it.</summary>
    Help,
}

/// <summary>What the command line says of a summary.</summary>
public sealed record SummaryOptions
{
    /// <summary>The file to write.</summary>
    public string File { get; init; } = "";

    /// <summary>The kind of file; null when its ending says it.</summary>
    public SummaryFormat? Format { get; init; }

    /// <summary>The day that it tells of; null for today.</summary>
    public DateOnly? AsOfOn { get; init; }

    /// <summary>The day after which an integration is told as new; null for four weeks before.</summary>
    public DateOnly? SinceOn { get; init; }

    /// <summary>The programme's name; null when there is only one.</summary>
    public string? Programme { get; init; }

    /// <summary>Only this clinician's children.</summary>
    public string? Clinician { get; init; }

    /// <summary>Only this travel zone's children.</summary>
    public string? Zone { get; init; }

    /// <summary>Whether children are named.</summary>
    public bool HasNames { get; init; }

    /// <summary>The options with the kind of file; refused when something is missing.</summary>
    /// <exception cref="HostStartException">There is no file, or nothing says what kind it is.</exception>
    internal SummaryOptions Checked() =>
        File.Length == 0 ? throw new HostStartException("summary needs --out and the file to write.")
        : Format is not null ? this
        : this with
        {
            Format =
                EnumWords.FromWord<SummaryFormat>(Path.GetExtension(File).TrimStart('.').ToLowerInvariant())
                ?? throw new HostStartException("Say with --format whether the file is csv, xlsx or pdf, or end its name so."),
        };
}

/// <summary>A start that cannot go on, with what to do.</summary>
public sealed class HostStartException(string message) : Exception(message);

/// <summary>The command line of the host.</summary>
/// <param name="Command">What to do.</param>
/// <param name="IsDemo">Whether to load the demo caseload.</param>
/// <param name="DataFolder">Where the private database and the logs are kept.</param>
/// <param name="Urls">Where to listen, or whom to ask.</param>
/// <param name="Today">A fixed day for the demo and its screenshots; null for the real one.</param>
/// <param name="Summary">What a summary is wanted of; null for every other command.</param>
public sealed record HostStart(
    HostCommand Command,
    bool IsDemo,
    string DataFolder,
    string? Urls,
    DateOnly? Today,
    SummaryOptions? Summary = null
)
{
    private const string Usage = """
        Caseload.Web [--demo] [--data FOLDER] [--urls ADDRESS] [--today DATE]
        Caseload.Web migrate [--data FOLDER]
        Caseload.Web verify [--data FOLDER]
        Caseload.Web permissions
        Caseload.Web health --urls ADDRESS
        Caseload.Web summary --out FILE [--format csv|xlsx|pdf] [--as-of DATE] [--since DATE] [--programme NAME]
            [--clinician NAME] [--zone NAME] [--names] [--data FOLDER]

        ConnectionStrings__Caseload (and ConnectionStrings__CaseloadOwner for migrate) are used instead of a private
        database when set; CASELOAD_DB_PASSWORD_FILE and CASELOAD_DB_OWNER_PASSWORD_FILE hold their passwords.
        CASELOAD_PUBLIC_ADDRESS and CASELOAD_PROXY are needed to serve other machines; deploy/proxy.md has all settings.

        verify checks the access record of every programme. It prints one line for each, with the newest entry's hash to
        note elsewhere, and ends with 0 when all are intact, 1 when one was altered, 2 when one could not be checked.

        summary writes what the page of that name shows, as of today unless a day is given. Without --format the ending of
        the file decides. Children have their codes; --names adds names and birth dates. A file that is there already is
        left alone. That it was made goes into the access record.
        """;

    /// <summary>Reads the command line; anything not known is refused by name.</summary>
    public static HostStart Parse(string[] arguments)
    {
        var command = HostCommand.Serve;
        var isDemo = false;
        string? data = null;
        string? urls = null;
        DateOnly? today = null;
        var summary = new SummaryOptions();
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
                    today = Day();
                    break;
                case "summary":
                    command = HostCommand.Summary;
                    break;
                case "--out":
                    summary = summary with { File = Value() };
                    break;
                case "--format":
                    var word = Value();
                    summary = summary with
                    {
                        Format =
                            EnumWords.FromWord<SummaryFormat>(word)
                            ?? throw new HostStartException($"There is no format \"{word}\". Choose csv, xlsx or pdf."),
                    };
                    break;
                case "--as-of":
                    summary = summary with { AsOfOn = Day() };
                    break;
                case "--since":
                    summary = summary with { SinceOn = Day() };
                    break;
                case "--programme":
                    summary = summary with { Programme = Value() };
                    break;
                case "--clinician":
                    summary = summary with { Clinician = Value() };
                    break;
                case "--zone":
                    summary = summary with { Zone = Value() };
                    break;
                case "--names":
                    summary = summary with { HasNames = true };
                    break;
                default:
                    throw new HostStartException($"\"{arguments[index]}\" is not known. Use --help to see what is.");
            }

            string Value() =>
                inline ?? (++index < arguments.Length ? arguments[index] : throw new HostStartException($"{name} needs a value after it."));

            DateOnly Day() =>
                DateOnly.TryParseExact(Value(), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var on)
                    ? on
                    : throw new HostStartException($"{name} needs a date, for example 2026-11-25.");
        }
        if (command != HostCommand.Summary && summary != new SummaryOptions())
        {
            throw new HostStartException(
                "--out, --format, --as-of, --since, --programme, --clinician, --zone and --names go with summary only."
            );
        }
        return new HostStart(
            command,
            isDemo,
            data ?? DefaultDataFolder(isDemo),
            urls,
            today,
            command == HostCommand.Summary ? summary.Checked() : null
        );
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
