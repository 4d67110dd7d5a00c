using System.Globalization;
using System.Text;
using Npgsql;
using Serilog;
using Serilog.Configuration;
using Serilog.Core;
using Serilog.Events;
using Serilog.Formatting;

namespace Caseload.Web.Platform.Hardening;

/// <summary>What keeps personal data out of the log and forged lines out of the console.</summary>
public static class CautiousLog
{
    /// <summary>Writes to what is configured in it, without paths and without the messages of exceptions.</summary>
    public static LoggerConfiguration Cautiously(this LoggerSinkConfiguration writeTo, Action<LoggerSinkConfiguration> sinks) =>
        writeTo.Sink(LoggerSinkConfiguration.Wrap(sink => new CautiousSink(sink), sinks));
}

/// <summary>Passes events on without what a person may have typed.</summary>
/// <remarks>
/// The message of an exception may quote a value: a name that was too long, a date that could not be read. Type, place and the server's
/// error code are kept. Other components put the message into properties of their own; those are emptied too.
/// </remarks>
public sealed class CautiousSink(ILogEventSink inner) : ILogEventSink, IDisposable
{
    private const string LeftOut = "(left out)";

    // Set by the framework for everything that is logged while a request runs.
    private static readonly string[] _addresses = ["RequestPath", "Path", "QueryString", "Query", "PathBase", "Url", "Uri"];

    // What an identity provider says about a failure, and may name a person in.
    private static readonly string[] _words = ["ErrorDescription", "ErrorUri"];

    /// <inheritdoc />
    public void Emit(LogEvent logEvent)
    {
        var messages = logEvent.Exception is { } thrown ? MessagesOf(thrown).ToList() : [];
        var properties = logEvent
            .Properties.Where(property => !_addresses.Contains(property.Key) && !_words.Contains(property.Key))
            .Select(property =>
                messages.Exists(message => Holds(property.Value, message))
                    ? new LogEventProperty(property.Key, new ScalarValue(LeftOut))
                    : new LogEventProperty(property.Key, property.Value)
            );
        inner.Emit(
            new LogEvent(
                logEvent.Timestamp,
                logEvent.Level,
                logEvent.Exception is { } failure ? new WordlessException(failure) : null,
                logEvent.MessageTemplate,
                properties,
                logEvent.TraceId ?? default,
                logEvent.SpanId ?? default
            )
        );
    }

    /// <inheritdoc />
    public void Dispose() => (inner as IDisposable)?.Dispose();

    private static IEnumerable<string> MessagesOf(Exception failure)
    {
        IEnumerable<Exception> within = failure switch
        {
            AggregateException several => several.InnerExceptions,
            { InnerException: { } one } => [one],
            _ => [],
        };
        return within.SelectMany(MessagesOf).Append(failure.Message).Where(message => message.Length > 0);
    }

    private static bool Holds(LogEventPropertyValue value, string message) =>
        (value is ScalarValue { Value: string text } ? text : value.ToString(null, CultureInfo.InvariantCulture)).Contains(
            message,
            StringComparison.Ordinal
        );
}

/// <summary>An exception as it may stand in a log.</summary>
public sealed class WordlessException(Exception failure) : Exception
{
    /// <inheritdoc />
    public override string Message => failure.GetType().FullName ?? failure.GetType().Name;

    /// <inheritdoc />
    public override string? StackTrace => failure.StackTrace;

    /// <inheritdoc />
    public override string ToString()
    {
        var text = new StringBuilder();
        for (var at = failure; at is not null; at = at.InnerException)
        {
            text.Append(at == failure ? "" : "---> ").Append(at.GetType().FullName);
            if (at is PostgresException server)
            {
                text.Append(' ').AppendJoin(' ', server.SqlState, server.TableName, server.ConstraintName);
            }
            text.AppendLine().AppendLine(at.StackTrace);
        }
        return text.ToString().TrimEnd();
    }
}

/// <summary>One event, one line on the console; characters that would begin another line, or steer the terminal, are written out.</summary>
public sealed class OneLineFormatter : ITextFormatter
{
    /// <inheritdoc />
    public void Format(LogEvent logEvent, TextWriter output)
    {
        using var message = new StringWriter(CultureInfo.InvariantCulture);
        foreach (var token in logEvent.MessageTemplate.Tokens)
        {
            if (
                token is Serilog.Parsing.PropertyToken property
                && logEvent.Properties.TryGetValue(property.PropertyName, out var value)
                && value is ScalarValue { Value: string text }
            )
            {
                message.Write(text);
            }
            else
            {
                token.Render(logEvent.Properties, message, CultureInfo.InvariantCulture);
            }
        }
        output.Write(logEvent.Timestamp.ToString("HH:mm:ss", CultureInfo.InvariantCulture));
        output.Write(' ');
        output.Write(logEvent.Level.ToString()[..3].ToUpperInvariant());
        output.Write(' ');
        WriteOut(message.ToString(), output);
        output.WriteLine();
        if (logEvent.Exception is not null)
        {
            output.WriteLine(logEvent.Exception);
        }
    }

    private static void WriteOut(string text, TextWriter output)
    {
        foreach (var sign in text)
        {
            // The two separators end a line for some readers although they are no control characters.
            if (char.IsControl(sign) || sign is '\u2028' or '\u2029')
            {
                output.Write(string.Create(CultureInfo.InvariantCulture, $"\\u{(int)sign:x4}"));
            }
            else
            {
                output.Write(sign);
            }
        }
    }
}
