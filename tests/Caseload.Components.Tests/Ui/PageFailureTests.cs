using Bunit;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Caseload.Components.Tests.Ui;

public sealed class PageFailureTests : ComponentTest
{
    private readonly ListedLog _log;
    private int _retries;

    public PageFailureTests()
        : base(services =>
            services
                .AddSingleton<ListedLog>()
                .AddSingleton(provider => new FailureLog(provider.GetRequiredService<ListedLog>(), TimeProvider.System))
        ) => _log = Services.GetRequiredService<ListedLog>();

    [Fact]
    public void Failure_WhenShown_HasTheNumberThatStandsInTheLog()
    {
        var number = Page().Find(".number").Words();

        number.Length.ShouldBe(10);
        _log.Lines.ShouldHaveSingleItem().ShouldContain(number);
    }

    [Fact]
    public void Failure_WhenItsMessageHoldsWhatWasTyped_DoesNotShowIt() => Page().Markup.ShouldNotContain("Anna");

    [Fact]
    public void Failure_WhenThePageRendersAgain_KeepsItsNumber()
    {
        var page = Page();
        var number = page.Find(".number").Words();

        page.Render();

        page.Find(".number").Words().ShouldBe(number);
        _log.Lines.Count.ShouldBe(1);
    }

    [Fact]
    public void Retry_WhenAsked_RaisesTheCallback()
    {
        Page().Control("Open the page again").Click();

        _retries.ShouldBe(1);
    }

    private IRenderedComponent<PageFailure> Page() =>
        Render<PageFailure>(page =>
            page.Add(p => p.Failure, new InvalidOperationException("duplicate key: Anna")).Add(p => p.OnRetry, () => _retries++)
        );

    private sealed class ListedLog : ILogger<FailureLog>
    {
        internal List<string> Lines { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(
            LogLevel logLevel,
            EventId eventId,
            TState state,
            Exception? exception,
            Func<TState, Exception?, string> formatter
        ) => Lines.Add(formatter(state, exception));
    }
}
