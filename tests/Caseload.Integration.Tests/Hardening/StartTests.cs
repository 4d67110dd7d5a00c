using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>Starts that are refused because they would not be safe, each with what to do.</summary>
public sealed class StartTests
{
    private const string Listen = "http://127.0.0.1:5080";

    [Theory]
    [InlineData("http://127.0.0.1:5080", null, "http://127.0.0.1:5080")]
    [InlineData("http://localhost:5080/;http://[::1]:5080", null, "http://localhost:5080")]
    [InlineData("http://127.8.9.10:5080", null, "http://127.8.9.10:5080")]
    [InlineData("http://0.0.0.0:8080", "http://localhost:8080", "http://localhost:8080")]
    [InlineData("http://0.0.0.0:8080", "https://caseload.example.org/", "https://caseload.example.org")]
    [InlineData("http://+:8080", "https://caseload.example.org:8443", "https://caseload.example.org:8443")]
    public void PublicAddress_WhenItIsSafe_IsTaken(string listen, string? setting, string expected)
    {
        var address = PublicAddress.Find(listen, Settings(PublicAddress.Setting, setting));

        address.Origin.ShouldBe(expected);
        address.IsSecure.ShouldBe(expected.StartsWith("https:", StringComparison.Ordinal));
    }

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData("http://0.0.0.0:8080", null, "CASELOAD_PUBLIC_ADDRESS")]
    [InlineData("http://+:8080", null, "CASELOAD_PUBLIC_ADDRESS")]
    [InlineData("http://*:8080", null, "CASELOAD_PUBLIC_ADDRESS")]
    [InlineData("http://127.0.0.1:5080;http://192.0.2.1:5080", null, "CASELOAD_PUBLIC_ADDRESS")]
    [InlineData(Listen, "http://caseload.example.org", "use https")]
    [InlineData(Listen, "http://127.0.0.1.example.org", "use https")]
    [InlineData(Listen, "caseload.example.org", "scheme, host")]
    [InlineData(Listen, "ftp://caseload.example.org", "scheme, host")]
    [InlineData(Listen, "https://caseload.example.org/app", "without a path")]
    [InlineData(Listen, "https://someone@caseload.example.org", "scheme, host")]
    public void PublicAddress_WhenItIsNotSafe_StopsTheStart(string listen, string? setting, string advice) =>
        Should
            .Throw<HostStartException>(() => PublicAddress.Find(listen, Settings(PublicAddress.Setting, setting)))
            .Message.ShouldContain(advice);

    [Theory]
    [Trait("Requirement", "SEC-54")]
    [InlineData("nginx")]
    [InlineData("10.1.0.0/33")]
    [InlineData("127.0.0.1, everybody")]
    public void Proxy_WhenItIsNoAddress_StopsTheStart(string proxy) =>
        Should
            .Throw<HostStartException>(() => AddProxy("http://127.0.0.1", ("CASELOAD_PROXY", proxy)))
            .Message.ShouldContain("CASELOAD_PROXY");

    [Fact]
    [Trait("Requirement", "SEC-54")]
    public void Proxy_WhenEverybodyWouldBeBelieved_StopsTheStart() =>
        Should
            .Throw<HostStartException>(() => AddProxy("http://127.0.0.1", ("ASPNETCORE_FORWARDEDHEADERS_ENABLED", "true")))
            .Message.ShouldContain("CASELOAD_PROXY");

    [Fact]
    public void Proxy_WhenTheAddressIsSecureButNobodyDoesTls_StopsTheStart() =>
        Should.Throw<HostStartException>(() => AddProxy("https://caseload.example.org")).Message.ShouldContain("CASELOAD_PROXY");

    [Fact]
    public void IdentityProvider_WhenItIsNotSecure_StopsTheStart() =>
        Should
            .Throw<HostStartException>(() =>
                new ServiceCollection().AddCaseloadHeaders(
                    PublicAddress.Find(Listen, HardenedSite.Settings()),
                    HardenedSite.Settings((IdentityProviderSettings.AuthoritySetting, "http://login.example.org"))
                )
            )
            .Message.ShouldContain("https://");

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData("Host=/var/lib/caseload/run;Username=a")]
    [InlineData("Host=127.0.0.1;Port=5433;Username=a")]
    [InlineData("Host=localhost,[::1]:5433;Username=a")]
    [InlineData("Host=db.example.org;Username=a;SSL Mode=VerifyFull")]
    [InlineData("Host=database;Username=a")]
    [InlineData("Host=database:5433,DATABASE;Username=a")]
    public void Database_WhenNothingIsInTheClear_IsAccepted(string connectionString) =>
        Should.NotThrow(() => DatabaseTransport.Require(connectionString, Settings(DatabaseTransport.Setting, "database")));

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData("Host=db.example.org;Username=a")]
    [InlineData("Host=db.example.org;Username=a;SSL Mode=Require")]
    [InlineData("Host=db.example.org;Username=a;SSL Mode=VerifyCA")]
    [InlineData("Host=localhost,db.example.org;Username=a;SSL Mode=Prefer")]
    [InlineData("Host=databases;Username=a")]
    public void Database_WhenRowsWouldTravelInTheClear_StopsTheStart(string connectionString)
    {
        var message = Should
            .Throw<HostStartException>(() => DatabaseTransport.Require(connectionString, Settings(DatabaseTransport.Setting, "database")))
            .Message;

        message.ShouldContain("SSL Mode=VerifyFull");
        message.ShouldContain(DatabaseTransport.Setting);
    }

    [Fact]
    [Trait("Requirement", "SEC-49")]
    public async Task Host_WhenTheDatabaseIsRemoteAndUnverified_DoesNotOpenIt()
    {
        var start = new HostStart(HostCommand.Serve, IsDemo: false, Path.GetTempPath(), Listen, Today: null);
        var settings = HardenedSite.Settings(
            ("ConnectionStrings:Caseload", "Host=localhost;Username=a"),
            ("ConnectionStrings:CaseloadOwner", "Host=db.example.org;Username=a")
        );

        await Should.ThrowAsync<HostStartException>(() => DatabaseAccess.OpenAsync(start, settings, _ => { }, CancellationToken.None));
    }

    private static Microsoft.Extensions.Configuration.IConfiguration Settings(string name, string? value) =>
        value is null ? HardenedSite.Settings() : HardenedSite.Settings((name, value));

    private static void AddProxy(string address, params (string Name, string Value)[] settings)
    {
        var configuration = HardenedSite.Settings([(PublicAddress.Setting, address), .. settings]);
        new ServiceCollection().AddTrustedProxy(PublicAddress.Find(Listen, configuration), Listen, configuration);
    }
}
