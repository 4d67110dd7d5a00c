using System.Text.Json;
using Caseload.Integration.Tests.PrivateCluster;
using Caseload.Web.Platform.Hardening;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Serilog;
using Serilog.Events;
using Serilog.Formatting;
using Serilog.Formatting.Compact;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>What stands in the log, and what must not.</summary>
public sealed class LogTests(LoopbackSite site) : IClassFixture<LoopbackSite>
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public static TheoryData<string> Forgeries =>
        ["\r\n", "a\nERR forged", "a\r\n12:00:00 INF forged", "\u0085b", "\u2028b", "\u2029b", "\u001b[2Jb", "\0b"];

    [Fact]
    public async Task Request_WhenLogged_IsNamedByItsRoute()
    {
        using var client = site.Client();
        using var second = await client.GetAsync("/nobody/knows/0198c5f0-1111?code=one-time-7351", Cancellation);
        using var third = await client.GetAsync("/test/throws/secret-id-42?code=one-time-7351", Cancellation);
        using var first = await client.GetAsync("/children/0198c5f0-1111-7222-8333-444455556666?code=one-time-7351", Cancellation);

        var log = await site.ReadLogAsync("/children/{", Cancellation);

        var routes = Lines(log).Where(line => line.TryGetProperty("Route", out _)).Select(line => line.GetProperty("Route").GetString());
        routes.ShouldContain(route => route!.Contains("children/{", StringComparison.OrdinalIgnoreCase));
        routes.ShouldContain("(no route)");
        routes.ShouldContain("/test/throws/{id}");
        log.ShouldNotContain("0198c5f0");
        log.ShouldNotContain("one-time-7351");
        log.ShouldNotContain("secret-id-42");
        log.ShouldNotContain("RequestPath");
        log.ShouldNotContain("QueryString");
    }

    [Fact]
    [Trait("Requirement", "SEC-48")]
    public async Task Failure_WhenLogged_HasItsTypeAndPlaceButNotItsMessage()
    {
        using var client = site.Client();
        using var answer = await client.GetAsync("/test/throws/7", Cancellation);

        var log = await site.ReadLogAsync("System.InvalidOperationException", Cancellation);

        log.ShouldContain("System.InvalidOperationException");
        log.ShouldContain("HardenedSite.Throw");
        log.ShouldNotContain(HardenedSite.Secret);
    }

    [Fact]
    public void Message_WhenAnotherComponentRepeatsIt_IsLeftOutThereToo()
    {
        var inner = new FormatException($"\"{HardenedSite.Secret}\" is no date");
        var log = Write(
            new CompactJsonFormatter(),
            logger =>
                logger.Error(
                    new InvalidOperationException("outer", inner),
                    "Rendering failed: {Reason} in {Place}",
                    inner.Message,
                    "ChildPage"
                )
        );

        log.ShouldNotContain(HardenedSite.Secret);
        log.ShouldContain("ChildPage");
        log.ShouldContain("System.FormatException");
    }

    [Fact]
    public async Task Failure_OfTheDatabase_KeepsItsCodeButNotTheValue()
    {
        var failure = await Should.ThrowAsync<Npgsql.PostgresException>(() =>
            Sql.AskAsync(site.Database.OwnerConnectionString, $"select '{HardenedSite.Secret}'::date", Cancellation)
        );
        failure.Message.ShouldContain(HardenedSite.Secret);

        var log = Write(new OneLineFormatter(), logger => logger.Error(failure, "Saving failed"));

        log.ShouldNotContain(HardenedSite.Secret);
        log.ShouldContain("22007");
    }

    [Theory]
    [Trait("Requirement", "SEC-25")]
    [MemberData(nameof(Forgeries))]
    public void LineBreak_InAValue_BeginsNoLineOnTheConsole(string forged)
    {
        var log = Write(new OneLineFormatter(), logger => logger.Information("Asked for {What} twice", forged));

        log[..^Environment.NewLine.Length].ShouldAllBe(sign => !char.IsControl(sign) && sign != '\u2028' && sign != '\u2029');
        log.ShouldEndWith(" twice" + Environment.NewLine);
        log.ShouldContain("\\u");
    }

    [Theory]
    [Trait("Requirement", "SEC-25")]
    [MemberData(nameof(Forgeries))]
    public void LineBreak_InAValue_BeginsNoLineInTheFile(string forged)
    {
        var log = Write(new CompactJsonFormatter(), logger => logger.Information("Asked for {What} twice", forged));

        log.TrimEnd('\r', '\n').ShouldNotContain('\n');
        Lines(log).ShouldHaveSingleItem().GetProperty("What").GetString().ShouldBe(forged);
    }

    [Fact]
    [Trait("Requirement", "SEC-25")]
    public async Task LineBreak_ThroughTheHost_StaysInOneEntry()
    {
        var logger = site.Services.GetRequiredService<ILogger<LogTests>>();
        logger.LogWarning("Refused {Reason}", "first\r\n{\"@t\":\"forged\"}");

        var log = await site.ReadLogAsync("Refused {Reason}", Cancellation);

        Lines(log).ShouldContain(line => Is(line, "Refused {Reason}"));
        Lines(log).ShouldNotContain(line => line.GetProperty("@t").GetString() == "forged");
    }

    private static bool Is(JsonElement line, string template) => line.TryGetProperty("@mt", out var text) && text.GetString() == template;

    private static List<JsonElement> Lines(string log) =>
        [.. log.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement)];

    private static string Write(ITextFormatter formatter, Action<Serilog.ILogger> write)
    {
        var written = new Collected(formatter);
        using (var logger = new LoggerConfiguration().WriteTo.Cautiously(sinks => sinks.Sink(written)).CreateLogger())
        {
            write(logger);
        }
        return written.Text;
    }

    private sealed class Collected(ITextFormatter formatter) : Serilog.Core.ILogEventSink
    {
        public string Text { get; private set; } = "";

        public void Emit(LogEvent logEvent)
        {
            using var writer = new StringWriter();
            formatter.Format(logEvent, writer);
            Text += writer.ToString();
        }
    }
}
