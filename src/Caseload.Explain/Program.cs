using System.Text.Encodings.Web;
using System.Text.Json;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Explain;

const string Usage = """
    explain --born 2026-01-05 [--gestation 31+4 | --expected 2026-03-05] --on 2026-09-01
            [--followed-from DATE] [--findings FILE.json] [--set NAME@VERSION] [--correct-until 24|36]
    explain --batch FILE.jsonl [--on 2026-09-01] [--set NAME@VERSION] [--correct-until 24|36]

    Prints where a child stands with every item on a date, as one JSON document; with --batch one document a line.
    FILE.json is a list of {item, on, side, response, behaviouralState, notTested}. FILE.jsonl holds one child a line:
    {id, born, gestation, expected, followedFrom, on, findings}. "-" reads from standard input.
    Wrong input: exit code 2 and one line that names the option and the fix.
    """;

try
{
    var options = ReadOptions(args);
    if (options.ContainsKey("help") || args.Length == 0)
    {
        Console.WriteLine(Usage);
        return 0;
    }
    var key = options.GetValueOrDefault("set") ?? ReferenceSets.Default.Key;
    var set =
        ReferenceSets.Find(key)
        ?? throw new InputException(
            "--set",
            $"\"{key}\" is not a set of this program. Use one of: {string.Join(", ", ReferenceSets.BuiltIn.Select(known => known.Key))}."
        );
    var until = options.GetValueOrDefault("correct-until") ?? "24";
    if (until is not ("24" or "36"))
    {
        throw new InputException("--correct-until", $"\"{until}\" is not 24 or 36 (months of corrected age).");
    }
    var policy = ReviewPolicy.Default with { CorrectionMonths = until == "36" ? 36 : 24 };
    var interpreter = new Interpreter(set, policy);

    using var output = Console.OpenStandardOutput();
    if (options.TryGetValue("batch", out var batch))
    {
        using var reader = Open("--batch", batch);
        var refused = BatchStream.Run(reader, output, interpreter, options.GetValueOrDefault("on"));
        if (refused > 0)
        {
            Console.Error.WriteLine(
                $"--batch: {refused} line(s) were refused; each has an \"error\" in the output that names the field and the fix."
            );
        }
        return refused > 0 ? 2 : 0;
    }

    JsonElement? findings = null;
    if (options.TryGetValue("findings", out var file))
    {
        using var reader = Open("--findings", file);
        try
        {
            findings = JsonDocument.Parse(reader.ReadToEnd()).RootElement.Clone();
        }
        catch (JsonException exception)
        {
            throw new InputException("--findings", $"{file} is not JSON: {exception.Message}");
        }
    }
    var request = ExplainRequest.Create(
        options.GetValueOrDefault("born"),
        options.GetValueOrDefault("gestation"),
        options.GetValueOrDefault("expected"),
        options.GetValueOrDefault("followed-from"),
        options.GetValueOrDefault("on"),
        findings,
        null,
        set,
        "--"
    );
    var answer = new Utf8Text();
    new ExplainWriter(new PreparedSet(interpreter)).Append(answer, request);
    var answerReader = new Utf8JsonReader(answer.Written);
    using var document = JsonDocument.ParseValue(ref answerReader);
    using (
        var indented = new Utf8JsonWriter(
            output,
            new JsonWriterOptions { Indented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }
        )
    )
    {
        document.WriteTo(indented);
    }
    output.Write("\n"u8);
    return 0;
}
catch (InputException exception)
{
    Console.Error.WriteLine(exception.Message.ReplaceLineEndings(" "));
    return 2;
}

static Dictionary<string, string> ReadOptions(string[] arguments)
{
    string[] known = ["born", "gestation", "expected", "followed-from", "on", "findings", "set", "correct-until", "batch"];
    var options = new Dictionary<string, string>(StringComparer.Ordinal);
    for (var index = 0; index < arguments.Length; index++)
    {
        var argument = arguments[index];
        if (argument is "--help" or "-h")
        {
            options["help"] = "";
            continue;
        }
        var split = argument.IndexOf('=', StringComparison.Ordinal);
        var name = argument.StartsWith("--", StringComparison.Ordinal) ? argument[2..(split < 0 ? argument.Length : split)] : "";
        if (!known.Contains(name))
        {
            throw new InputException(
                argument,
                $"is not an option. Use one of: {string.Join(", ", known.Select(option => "--" + option))}."
            );
        }
        if (options.ContainsKey(name))
        {
            throw new InputException("--" + name, "is given twice. Give it once.");
        }
        if (split >= 0)
        {
            options[name] = argument[(split + 1)..];
        }
        else if (index + 1 < arguments.Length && !arguments[index + 1].StartsWith("--", StringComparison.Ordinal))
        {
            options[name] = arguments[++index];
        }
        else
        {
            throw new InputException("--" + name, "needs a value after it.");
        }
    }
    return options;
}

static TextReader Open(string option, string file)
{
    if (file == "-")
    {
        return Console.In;
    }
    try
    {
        return new StreamReader(file, new FileStreamOptions { BufferSize = 1 << 16 });
    }
    catch (IOException)
    {
        throw new InputException(option, $"{file} cannot be read. Give the path of a file that exists.");
    }
    catch (UnauthorizedAccessException)
    {
        throw new InputException(option, $"{file} may not be read by this user. Check its permissions.");
    }
}
