using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json;
using Caseload.Domain.Interpretation;

namespace Caseload.Explain;

/// <summary>Answers a file of children, a JSON object a line, in the order of the lines, while it is still being read.</summary>
internal static class BatchStream
{
    private const int LinesPerPart = 32;

    /// <summary>Writes an answer or an error for every line.</summary>
    /// <returns>How many lines were refused.</returns>
    internal static int Run(TextReader input, Stream output, Interpreter interpreter, string? defaultOn)
    {
        var writers = new ConcurrentBag<ExplainWriter>();
        // Buffers are passed on from part to part: a fresh one of this size for each would cost more than filling it.
        var buffers = new ConcurrentBag<Utf8Text>();
        var prepared = new PreparedSet(interpreter);
        var waiting = new Queue<Task<(Utf8Text Bytes, int Refused)>>();
        var refused = 0;
        var lineNumber = 0;
        var isAtEnd = false;
        while (!isAtEnd)
        {
            var first = lineNumber + 1;
            var lines = new List<string>(LinesPerPart);
            while (lines.Count < LinesPerPart && !isAtEnd)
            {
                if (input.ReadLine() is { } line)
                {
                    lines.Add(line);
                    lineNumber++;
                }
                else
                {
                    isAtEnd = true;
                }
            }
            waiting.Enqueue(Task.Run(() => Answer(lines, first, prepared, defaultOn, writers, buffers)));
            while (waiting.Count > Environment.ProcessorCount * 2 || (isAtEnd && waiting.Count > 0))
            {
                var (bytes, failed) = waiting.Dequeue().GetAwaiter().GetResult();
                output.Write(bytes.Written);
                bytes.Clear();
                buffers.Add(bytes);
                refused += failed;
            }
        }
        output.Flush();
        return refused;
    }

    private static (Utf8Text Bytes, int Refused) Answer(
        List<string> lines,
        int firstNumber,
        PreparedSet prepared,
        string? defaultOn,
        ConcurrentBag<ExplainWriter> writers,
        ConcurrentBag<Utf8Text> buffers
    )
    {
        if (!writers.TryTake(out var writer))
        {
            writer = new ExplainWriter(prepared);
        }
        if (!buffers.TryTake(out var target))
        {
            target = new Utf8Text();
        }
        var refused = 0;
        for (var index = 0; index < lines.Count; index++)
        {
            if (string.IsNullOrWhiteSpace(lines[index]))
            {
                continue;
            }
            try
            {
                using var document = JsonDocument.Parse(lines[index]);
                writer.Append(target, Read(document.RootElement, prepared.Interpreter, defaultOn));
            }
            catch (Exception exception) when (exception is InputException or JsonException)
            {
                refused++;
                WriteError(
                    target,
                    firstNumber + index,
                    exception is JsonException ? "the line is not a JSON object: " + exception.Message : exception.Message
                );
            }
        }
        writers.Add(writer);
        return (target, refused);
    }

    private static ExplainRequest Read(JsonElement line, Interpreter interpreter, string? defaultOn)
    {
        if (line.ValueKind != JsonValueKind.Object)
        {
            throw new InputException("line", "must be a JSON object with born, gestation and on.");
        }
        return ExplainRequest.Create(
            ExplainRequest.Text(line, "born"),
            ExplainRequest.Text(line, "gestation"),
            ExplainRequest.Text(line, "expected"),
            ExplainRequest.Text(line, "followedFrom"),
            ExplainRequest.Text(line, "on") ?? defaultOn,
            line.TryGetProperty("findings", out var findings) ? findings : null,
            ExplainRequest.Text(line, "id"),
            interpreter.Set,
            ""
        );
    }

    private static void WriteError(Utf8Text target, int number, string message) =>
        target.Append(
            PreparedSet.Utf8(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{{\"line\":{number},\"error\":{PreparedSet.Json($"line {number}: {message}")}}}\n"
                )
            )
        );
}
