using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Npgsql;

namespace Caseload.EndToEnd.Tests;

/// <summary>What a clinician does, from the first child to a reflex that has gone, on a tablet's screen.</summary>
public sealed partial class JourneyTests(EmptySite site) : IClassFixture<EmptySite>
{
    [Fact]
    public async Task AddingAPretermChild_WhileTyping_ShowsTheCorrectedAgeAndTheFirstChecks()
    {
        var page = await site.OpenAsync();
        await page.GotoAsync(site.Address);
        await page.GetByRole(AriaRole.Link, new() { Name = "Add a child", Exact = true }).ClickAsync();
        await page.Locator("#born").FillAsync("2026-10-06");
        await page.Locator("#weeks").FillAsync("31");
        await page.Locator("#days").FillAsync("4");

        // 59 days early: expected on 4 December 2026, so that on 25 November the child is 31+4 plus 50 days, 38+5 postmenstrual.
        var preview = page.GetByRole(AriaRole.Complementary, new() { Name = "What follows" });
        await Assertions.Expect(preview).ToContainTextAsync("38+5 weeks");
        await Assertions.Expect(preview).ToContainTextAsync("4 Dec 2026");
        await Assertions.Expect(preview).ToContainTextAsync("instead of a negative age");
        await Assertions.Expect(preview.Locator("li").First).ToContainTextAsync("Not looked at yet; expected since 6 Oct 2026");

        await page.GetByLabel("Given name").FillAsync("Pip");
        await page.GetByLabel("Family name").FillAsync("Thimbleway");
        await page.GetByRole(AriaRole.Button, new() { Name = "Add child" }).ClickAsync();
        await page.WaitForURLAsync(ChildAddress());
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Pip Thimbleway");
        await Assertions.Expect(page.Locator(".timeline-wide svg")).ToBeVisibleAsync();
        await Assertions.Expect(page.Locator(".item-row")).ToHaveCountAsync(37);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task LoggingVisits_WhenAReflexIsSeenLateAndThenTwiceAbsent_GoesFromPersistingToIntegrated()
    {
        var page = await site.OpenAsync(768, 1024);
        var child = await AddChildAsync(page, "Rowan", "Saltmarsh", "2026-01-05", "31", "4", "2026-01-20");

        // Expected date 5 March 2026; six months on 5 September, grace through 19 September; latest published limit 5 October.
        await LogAsync(page, child, "2026-11-01", "Asymmetric tonic neck", "Typical");
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("Persisting, past the latest limit");
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("physician");
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("local protocol");
        (await StateOnPageAsync(page, child)).ShouldContain("Persisting, past the latest limit");
        await page.Locator("#item-atnr .item-head").ClickAsync();
        await Assertions.Expect(page.Locator("#why-atnr")).ToContainTextAsync("Still seen after the usual deadline 2026-09-05");
        await Assertions.Expect(page.Locator("#why-atnr")).ToContainTextAsync("UTAH");

        await LogAsync(page, child, "2026-11-10", "Asymmetric tonic neck", "Absent");
        (await StateOnPageAsync(page, child)).ShouldContain("Awaiting confirmation");

        await LogAsync(page, child, "2026-11-20", "Asymmetric tonic neck", "Absent");
        (await StateOnPageAsync(page, child)).ShouldContain("Integrated");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task AnOverdueChild_OnTheAlertsPage_IsAcknowledgedActedOnAndClosesAfterTwoAbsences()
    {
        var page = await site.OpenAsync(768, 1024);
        var child = await AddChildAsync(page, "Sorrel", "Wickerbee", "2026-01-05", "31", "4", "2026-01-20");
        await LogAsync(page, child, "2026-11-01", "Asymmetric tonic neck", "Typical");
        var line = page.Locator("section, article, li, div")
            .Filter(new() { Has = page.GetByRole(AriaRole.Link, new() { Name = "Sorrel Wickerbee" }) })
            .Last.Locator(".alert-line")
            .Filter(new() { HasText = "still there past the latest published limit" });

        await ShowAsync("Open");
        await line.GetByRole(AriaRole.Button, new() { Name = "Why?" }).ClickAsync();
        await Assertions.Expect(line).ToContainTextAsync("2026-09-05");
        await Assertions.Expect(line).ToContainTextAsync("local protocol");
        await line.GetByRole(AriaRole.Button, new() { Name = "Acknowledge" }).ClickAsync();
        await Assertions.Expect(line).ToHaveCountAsync(0);

        await ShowAsync("Acknowledged");
        await line.GetByRole(AriaRole.Button, new() { Name = "What was done" }).ClickAsync();
        await line.GetByText("Told the physician").ClickAsync();
        await line.GetByRole(AriaRole.Button, new() { Name = "Save what was done" }).ClickAsync();
        await Assertions.Expect(line).ToHaveCountAsync(0);
        await ShowAsync("Acted on");
        await Assertions.Expect(line).ToHaveCountAsync(1);

        await LogAsync(page, child, "2026-11-10", "Asymmetric tonic neck", "Absent");
        (await StateOnPageAsync(page, child)).ShouldContain("Awaiting confirmation");
        await LogAsync(page, child, "2026-11-20", "Asymmetric tonic neck", "Absent");
        (await StateOnPageAsync(page, child)).ShouldContain("Integrated");
        await ShowAsync("Acted on");
        await Assertions.Expect(line).ToHaveCountAsync(0);
        await ShowAsync("Closed");
        await Assertions.Expect(line).ToHaveCountAsync(1);
        await page.Context.CloseAsync();

        async Task ShowAsync(string which)
        {
            await page.GotoAsync(site.Address + "/alerts");
            await page.Locator(".alert-shows button").Filter(new() { HasText = which }).First.ClickAsync();
            await Assertions
                .Expect(page.Locator(".alert-shows button[aria-pressed=true]"))
                .ToContainTextAsync(which, new() { Timeout = 20_000 });
        }
    }

    [Fact]
    public async Task AVisit_WhenTheTabIsClosedHalfway_ComesBackAsItWas()
    {
        var page = await site.OpenAsync(768, 1024);
        var child = await AddChildAsync(page, "Basil", "Underbough", "2026-08-01", "39", "0", "2026-08-10");
        await StartAsync(page, child, "2026-11-25");
        await page.Locator("label").Filter(new() { HasText = "Quiet, alert" }).First.ClickAsync();
        await RespondAsync(page, "Rooting", "Weak");
        await Assertions.Expect(page.GetByText("Draft saved")).ToBeVisibleAsync();
        var address = page.Url;
        await page.CloseAsync();

        var again = await site.OpenAsync(768, 1024);
        await again.GotoAsync(address);
        await Assertions.Expect(again.Locator("main")).ToContainTextAsync("1 of");
        await Assertions.Expect(again.GetByText("Weak").First).ToBeVisibleAsync();
        await again.Context.CloseAsync();
    }

    [Fact]
    public async Task AnUnsuitableState_WhenChosen_IsToldAtOnceAndCountsForNothing()
    {
        var page = await site.OpenAsync(768, 1024);
        var child = await AddChildAsync(page, "Clover", "Inkwell", "2026-08-01", "39", "0", "2026-08-10");
        await StartAsync(page, child, "2026-11-25");
        await page.Locator("label").Filter(new() { HasText = "Crying" }).First.ClickAsync();
        await RespondAsync(page, "Asymmetric tonic neck", "Absent");

        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("not count");
        await FinishAsync(page);
        (await StateOnPageAsync(page, child)).ShouldContain("Expected, not yet seen");
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("51", "0", "between 20+0 and 44+6")]
    [InlineData("31", "9", "0 to 6")]
    [InlineData("many", "0", "not a gestation")]
    public async Task WrongGestation_WhenTyped_IsRefusedAtItsFieldAndNothingIsSaved(string weeks, string days, string problem)
    {
        var page = await site.OpenAsync();
        var before = await CountChildrenAsync();
        await page.GotoAsync(site.Address + "/children/new");
        await page.GetByLabel("Given name").FillAsync("Wren");
        await page.GetByLabel("Family name").FillAsync("Oddsock");
        await page.Locator("#born").FillAsync("2026-08-01");
        await page.Locator("#weeks").FillAsync(weeks);
        await page.Locator("#days").FillAsync(days);
        await page.GetByRole(AriaRole.Button, new() { Name = "Add child" }).ClickAsync();

        await Assertions.Expect(page.Locator("#weeks-problem")).ToContainTextAsync(problem);
        await Assertions.Expect(page.GetByLabel("Given name")).ToHaveValueAsync("Wren");
        await Assertions.Expect(page.Locator("#weeks")).ToHaveValueAsync(weeks);
        (await CountChildrenAsync()).ShouldBe(before);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task AContradictoryDate_WhenEntered_IsRefusedWithTheFix()
    {
        var page = await site.OpenAsync();
        await page.GotoAsync(site.Address + "/children/new");
        await page.Locator("#born").FillAsync("2026-12-24");
        await Assertions.Expect(page.Locator("#born-problem")).ToContainTextAsync("Enter a date that has passed");

        await page.Locator("#born").FillAsync("2026-08-01");
        await page.GetByText("Expected date", new() { Exact = true }).ClickAsync();
        await page.Locator("#expected").FillAsync("2027-08-01");
        await Assertions.Expect(page.Locator("#expected-problem")).ToContainTextAsync("Check both dates");
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-36")]
    [Trait("Requirement", "SEC-41")]
    public async Task TheLogTheAddressAndTheTitle_AfterAChildWasAdded_HoldNoName()
    {
        var page = await site.OpenAsync();
        await AddChildAsync(page, "Zephyrine", "Quagglebottom", "2026-07-03", "40", "0", "2026-07-10");
        (await page.TitleAsync()).ShouldNotContain("Zephyrine");
        (await page.TitleAsync()).ShouldNotContain("Quagglebottom");
        var addresses = await page.EvaluateAsync<string[]>(
            "[...document.querySelectorAll('[href]')].map(link => link.getAttribute('href'))"
        );
        addresses.Length.ShouldBeGreaterThan(5);
        addresses.Append(page.Url).ShouldAllBe(address => !address.Contains("ephyrine") && !address.Contains("uagglebottom"));
        await page.Context.CloseAsync();

        var lines = 0;
        foreach (var file in Directory.GetFiles(site.LogFolder))
        {
            await using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            using var reader = new StreamReader(stream);
            var text = await reader.ReadToEndAsync(TestContext.Current.CancellationToken);
            lines += text.Split('\n').Length;
            text.ShouldNotContain("Zephyrine");
            text.ShouldNotContain("Quagglebottom");
            text.ShouldNotContain("2026-07-03");
        }
        lines.ShouldBeGreaterThan(1);
    }

    private async Task<string> AddChildAsync(
        IPage page,
        string given,
        string family,
        string born,
        string weeks,
        string days,
        string enrolled
    )
    {
        await page.GotoAsync(site.Address + "/children/new");
        await page.GetByLabel("Given name").FillAsync(given);
        await page.GetByLabel("Family name").FillAsync(family);
        await page.Locator("#born").FillAsync(born);
        await page.Locator("#weeks").FillAsync(weeks);
        await page.Locator("#days").FillAsync(days);
        await page.GetByLabel("With the programme since").FillAsync(enrolled);
        await page.GetByRole(AriaRole.Button, new() { Name = "Add child" }).ClickAsync();
        await page.WaitForURLAsync(ChildAddress());
        return page.Url;
    }

    private static async Task StartAsync(IPage page, string child, string on)
    {
        await page.GotoAsync(child);
        await page.GetByRole(AriaRole.Link, new() { Name = "Start visit" }).ClickAsync();
        await page.GetByLabel("Day of the visit").FillAsync(on);
        await page.GetByRole(AriaRole.Button, new() { Name = "Start the visit" }).ClickAsync();
        await page.WaitForURLAsync(VisitAddress());
        await page.GetByText("How is the infant now?").WaitForAsync();
    }

    private static async Task LogAsync(IPage page, string child, string on, string item, string response)
    {
        await StartAsync(page, child, on);
        await page.Locator("label").Filter(new() { HasText = "Quiet, alert" }).First.ClickAsync();
        await RespondAsync(page, item, response);
        await FinishAsync(page);
    }

    private static async Task FinishAsync(IPage page)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = "Finish with" }).ClickAsync();
        // While it is being saved the button only says so.
        await Assertions.Expect(page.Locator("#finish-visit")).ToHaveCountAsync(0, new() { Timeout = 20_000 });
    }

    private static async Task RespondAsync(IPage page, string item, string response)
    {
        await page.Locator(".check-card").First.WaitForAsync();
        if (await CardOf(page, item).CountAsync() == 0)
        {
            // Not planned within the handling budget: added by hand.
            await page.Locator("#add-item-search").FillAsync(item);
            await page.GetByRole(AriaRole.Button, new() { Name = "Add " + item, Exact = true }).ClickAsync();
        }
        var choices = CardOf(page, item).GetByRole(AriaRole.Radiogroup).First;
        await choices.Locator("label").Filter(new() { HasText = response }).ClickAsync();
    }

    private static ILocator CardOf(IPage page, string item) =>
        page.Locator(".check-card").Filter(new() { Has = page.GetByRole(AriaRole.Heading, new() { Name = item, Exact = true }) });

    private static async Task<string> StateOnPageAsync(IPage page, string child)
    {
        await page.GotoAsync(child);
        var row = page.Locator("#item-atnr .item-head");
        await row.WaitForAsync();
        return await row.InnerTextAsync();
    }

    private async Task<long> CountChildrenAsync()
    {
        await using var connection = new NpgsqlConnection(site.OwnerConnectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand("select count(*) from children", connection);
        return (long)(await command.ExecuteScalarAsync())!;
    }

    [GeneratedRegex("/children/[0-9a-f-]{36}$", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex ChildAddress();

    [GeneratedRegex("/visits/[0-9a-f-]{36}$", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex VisitAddress();
}
