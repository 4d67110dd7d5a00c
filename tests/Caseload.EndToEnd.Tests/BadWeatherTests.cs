using Microsoft.Playwright;
using Npgsql;

namespace Caseload.EndToEnd.Tests;

/// <summary>What a person sees while the database is away, and after it came back.</summary>
public sealed class BadWeatherTests(EmptySite site) : IClassFixture<EmptySite>
{
    [Fact]
    public async Task Page_WhileTheDatabaseIsAway_SaysSoWithANumberAndRecovers()
    {
        var page = await site.OpenAsync();
        await page.GotoAsync(site.Address + "/reference");
        await page.GetByText("Primitive reflexes").First.WaitForAsync();

        await SetReachableAsync(false);
        await page.ReloadAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Caseload cannot reach its database");
        (await page.Locator(".reference-number").InnerTextAsync()).Length.ShouldBeGreaterThan(9);
        (await page.Context.APIRequest.GetAsync(site.Address + "/health/ready")).Status.ShouldBe(503);

        await SetReachableAsync(true);
        await page.GetByRole(AriaRole.Link, new() { Name = "Try again" }).ClickAsync();
        await Assertions.Expect(page.GetByText("Primitive reflexes").First).ToBeVisibleAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task List_WhileTheDatabaseIsAway_SaysSoWithANumberAndRecovers()
    {
        var page = await site.OpenAsync();
        await page.GotoAsync(site.Address + "/children");
        await page.GetByRole(AriaRole.Heading, new() { Name = "Children", Exact = true }).WaitForAsync();

        await SetReachableAsync(false);
        await page.GetByRole(AriaRole.Checkbox).First.CheckAsync();
        var alert = page.GetByRole(AriaRole.Alert);
        await Assertions.Expect(alert).ToContainTextAsync("This could not be loaded");
        (await alert.Locator(".number").InnerTextAsync()).Length.ShouldBe(10);

        await SetReachableAsync(true);
        await page.GetByRole(AriaRole.Button, new() { Name = "Try again" }).ClickAsync();
        await Assertions.Expect(alert).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Form_WhenItCannotBeSaved_KeepsWhatWasTypedAndSavesLater()
    {
        var page = await site.OpenAsync();
        await page.GotoAsync(site.Address + "/children/new");
        await page.GetByLabel("Given name").FillAsync("Merrily");
        await page.GetByLabel("Family name").FillAsync("Stormcloud");
        await page.Locator("#born").FillAsync("2026-08-01");
        await page.Locator("#weeks").FillAsync("36");

        await SetReachableAsync(false);
        await page.GetByRole(AriaRole.Button, new() { Name = "Add child" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Alert).First).ToContainTextAsync("What you entered is still here");
        await Assertions.Expect(page.GetByLabel("Family name")).ToHaveValueAsync("Stormcloud");

        await SetReachableAsync(true);
        await page.GetByRole(AriaRole.Button, new() { Name = "Add child" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Merrily Stormcloud");
        await page.Context.CloseAsync();
    }

    private async Task SetReachableAsync(bool isReachable)
    {
        var name = new NpgsqlConnectionStringBuilder(site.OwnerConnectionString).Database!;
        var elsewhere = new NpgsqlConnectionStringBuilder(site.OwnerConnectionString) { Database = "postgres", Pooling = false };
        await using var connection = new NpgsqlConnection(elsewhere.ConnectionString);
        await connection.OpenAsync();
        var quoted = new NpgsqlCommandBuilder().QuoteIdentifier(name);
        await using var allow = new NpgsqlCommand(
            $"alter database {quoted} allow_connections {(isReachable ? "true" : "false")}",
            connection
        );
        await allow.ExecuteNonQueryAsync();
        if (!isReachable)
        {
            await using var end = new NpgsqlCommand("select pg_terminate_backend(pid) from pg_stat_activity where datname = $1", connection)
            {
                Parameters = { new() { Value = name } },
            };
            await end.ExecuteNonQueryAsync();
        }
    }
}
