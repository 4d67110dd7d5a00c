using System.Globalization;
using System.Net;
using System.Net.WebSockets;
using System.Text.Json;
using Caseload.Web.Platform.Hardening;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>Which requests are answered, and what an answer gives away.</summary>
public sealed class RequestTests(SecureSite secure, LoopbackSite loopback) : IClassFixture<SecureSite>, IClassFixture<LoopbackSite>
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    [Trait("Requirement", "SEC-49")]
    public async Task PlainHttp_WhenTheAddressIsSecure_IsSentToTls()
    {
        using var client = secure.Client();

        using var answer = await client.SendAsync(
            HardenedSite.Request(HttpMethod.Get, "/children?x=1", ("Host", "caseload.example.org"), ("X-Forwarded-Proto", "http")),
            Cancellation
        );

        answer.StatusCode.ShouldBe(HttpStatusCode.PermanentRedirect);
        answer.Headers.Location!.OriginalString.ShouldBe("https://caseload.example.org/children?x=1");
    }

    [Fact]
    public async Task Health_WhenTheContainerAsksItself_NeedsNoTls()
    {
        using var client = secure.Client();

        using var answer = await client.GetAsync("/health/ready", Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.OK);
    }

    [Theory]
    [InlineData("caseload.example.org", 200)]
    [InlineData("127.0.0.1", 200)]
    [InlineData("evil.example", 400)]
    [InlineData("caseload.example.org.evil.example", 400)]
    [InlineData("", 400)]
    public async Task Host_UnlessItIsOurs_IsRefused(string host, int status)
    {
        using var client = secure.Client();

        using var answer = await client.SendAsync(HardenedSite.Request(HttpMethod.Get, "/health/ready", ("Host", host)), Cancellation);

        ((int)answer.StatusCode).ShouldBe(status);
    }

    [Fact]
    [Trait("Requirement", "SEC-54")]
    public async Task ForwardedHeaders_FromTheProxy_AreBelievedForOneHop()
    {
        (string, string)[] headers =
        [
            ("Host", "caseload.example.org"),
            ("X-Forwarded-Proto", "https"),
            ("X-Forwarded-For", "198.51.100.1, 203.0.113.7"),
        ];

        (await ClientSeenAsync(secure, headers)).ShouldBe("203.0.113.7 https");
    }

    [Fact]
    [Trait("Requirement", "SEC-54")]
    public async Task ForwardedHeaders_WhenNoProxyIsNamed_AreIgnored() =>
        (await ClientSeenAsync(loopback, ("X-Forwarded-For", "203.0.113.7"), ("X-Forwarded-Proto", "https"))).ShouldBe("127.0.0.1 http");

    [Theory]
    [Trait("Requirement", "SEC-18")]
    [InlineData("https://evil.example", 403)]
    [InlineData("http://caseload.example.org", 403)]
    [InlineData("https://caseload.example.org.evil.example", 403)]
    [InlineData("https://caseload.example.org:8443", 403)]
    [InlineData("null", 403)]
    [InlineData("https://caseload.example.org", 401)]
    public async Task Negotiation_UnlessItComesFromOurPages_IsRefused(string origin, int status)
    {
        using var client = secure.Client();

        using var answer = await client.SendAsync(
            HardenedSite.Request(HttpMethod.Post, "/_blazor/negotiate?negotiateVersion=1", [.. SecureSite.Forwarded, ("Origin", origin)]),
            Cancellation
        );

        ((int)answer.StatusCode).ShouldBe(status);
    }

    [Theory]
    [Trait("Requirement", "SEC-18")]
    [InlineData("https://evil.example", "https", 403)]
    [InlineData("http://caseload.example.org", "https", 403)]
    [InlineData(null, "https", 403)]
    [InlineData("https://caseload.example.org", "http", 308)]
    [InlineData("https://caseload.example.org", "https", 401)]
    public async Task WebSocket_UnlessItComesFromOurPagesOverTls_IsRefused(string? origin, string scheme, int status)
    {
        using var client = secure.Client();
        using var request = HardenedSite.Request(
            HttpMethod.Get,
            "/_blazor",
            ("Host", "caseload.example.org"),
            ("X-Forwarded-Proto", scheme),
            ("Connection", "Upgrade"),
            ("Upgrade", "websocket"),
            ("Sec-WebSocket-Version", "13"),
            ("Sec-WebSocket-Key", "AAAAAAAAAAAAAAAAAAAAAA==")
        );
        if (origin is not null)
        {
            request.Headers.Add("Origin", origin);
        }

        using var answer = await client.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Cancellation);

        ((int)answer.StatusCode).ShouldBe(status);
    }

    [Theory]
    [Trait("Requirement", "SEC-18")]
    [InlineData("http://localhost", "localhost", 401)]
    [InlineData("http://127.0.0.1", "127.0.0.1", 401)]
    [InlineData("http://localhost", "127.0.0.1", 403)]
    [InlineData("http://evil.example", "127.0.0.1", 403)]
    public async Task WebSocket_OnLoopback_IsForThePageThatWasOpenedAndForWhoSignedIn(string origin, string host, int status)
    {
        using var socket = new ClientWebSocket();
        socket.Options.SetRequestHeader("Host", $"{host}:{loopback.Address.Port}");
        socket.Options.SetRequestHeader("Origin", $"{origin}:{loopback.Address.Port}");
        socket.Options.CollectHttpResponseDetails = true;

        await Should.ThrowAsync<WebSocketException>(
            socket.ConnectAsync(new Uri($"ws://127.0.0.1:{loopback.Address.Port}/_blazor"), Cancellation)
        );

        ((int)socket.HttpStatusCode).ShouldBe(status);
    }

    [Fact]
    [Trait("Requirement", "SEC-48")]
    public async Task Failure_WhenAnEndpointThrows_ShowsNothingOfIt()
    {
        using var client = loopback.Client();

        using var answer = await client.GetAsync("/test/throws/7", Cancellation);
        var text = await answer.Content.ReadAsStringAsync(Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.InternalServerError);
        text.ShouldContain("Something went wrong on our side");
        text.ShouldNotContain(HardenedSite.Secret);
        text.ShouldNotContain("InvalidOperationException");
        text.ShouldNotContain("HardenedSite");
        text.ShouldNotContain("   at ");
    }

    [Fact]
    [Trait("Requirement", "SEC-48")]
    public async Task Failure_WhenAFormIsPosted_ShowsTheErrorPageToo()
    {
        using var client = loopback.Client();

        using var answer = await client.PostAsync("/test/throws/7", new FormUrlEncodedContent([]), Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.InternalServerError);
        (await answer.Content.ReadAsStringAsync(Cancellation)).ShouldContain("Something went wrong on our side");
    }

    [Theory]
    [Trait("Requirement", "SEC-52")]
    [InlineData("/.git/HEAD")]
    [InlineData("/.git/config")]
    [InlineData("/.env")]
    [InlineData("/fonts/")]
    [InlineData("/_content/")]
    [InlineData("/appsettings.json")]
    [InlineData("/Caseload.Web.dll")]
    [InlineData("/Caseload.Web.staticwebassets.endpoints.json")]
    [InlineData("/swagger")]
    [InlineData("/..%2f..%2fetc%2fpasswd")]
    public async Task Probe_ForWhatIsNotForVisitors_LearnsNotEvenWhetherItIsThere(string path)
    {
        using var client = loopback.Client();

        using var answer = await client.GetAsync(path, Cancellation);
        var text = await answer.Content.ReadAsStringAsync(Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.Found);
        answer.Headers.Location!.AbsolutePath.ShouldBe("/account/sign-in");
        text.ShouldBeEmpty();
    }

    [Theory]
    [Trait("Requirement", "SEC-52")]
    [InlineData("TRACE")]
    [InlineData("TRACK")]
    public async Task Method_ThatEchoesTheRequest_IsRefused(string method)
    {
        using var client = loopback.Client();

        using var answer = await client.SendAsync(HardenedSite.Request(new HttpMethod(method), "/", ("Cookie", "a=b")), Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.MethodNotAllowed);
        (await answer.Content.ReadAsStringAsync(Cancellation)).ShouldNotContain("a=b");
    }

    [Theory]
    [InlineData(Limits.BodyBytes, false, 200)]
    [InlineData(Limits.BodyBytes + 1, false, 413)]
    [InlineData(Limits.BodyBytes + 1, true, 413)]
    public async Task Body_WhenItIsLargerThanAForm_IsRefused(long size, bool isSizeHidden, int status)
    {
        using var client = loopback.Client();
        using var request = HardenedSite.Request(HttpMethod.Post, "/elsewhere/test");
        request.Content = new ByteArrayContent(new byte[size]);
        request.Headers.TransferEncodingChunked = isSizeHidden;

        using var answer = await client.SendAsync(request, Cancellation);

        ((int)answer.StatusCode).ShouldBe(status);
    }

    [Fact]
    [Trait("Requirement", "SEC-29")]
    public async Task Forms_WhenPostedTooOften_AreRefusedForOneAddressOnly()
    {
        using var client = secure.Client();
        for (var post = 0; post < FormRate.PostsPerWindow; post++)
        {
            using var accepted = await PostAsync(client, "203.0.113.50", "text/html");
            accepted.StatusCode.ShouldBe(HttpStatusCode.OK);
        }

        using var page = await PostAsync(client, "203.0.113.50", "text/html,application/xhtml+xml");
        using var problem = await PostAsync(client, "203.0.113.50", "application/json");
        using var other = await PostAsync(client, "203.0.113.51", "text/html");

        page.StatusCode.ShouldBe(HttpStatusCode.TooManyRequests);
        page.Content.Headers.ContentType!.MediaType.ShouldBe("text/html");
        (await page.Content.ReadAsStringAsync(Cancellation)).ShouldContain("<h1>Too many attempts</h1>");
        SecondsToWait(page).ShouldBeInRange(1, 60);

        problem.StatusCode.ShouldBe(HttpStatusCode.TooManyRequests);
        problem.Content.Headers.ContentType!.MediaType.ShouldBe("application/problem+json");
        SecondsToWait(problem).ShouldBeInRange(1, 60);
        using var document = JsonDocument.Parse(await problem.Content.ReadAsStringAsync(Cancellation));
        document.RootElement.GetProperty("status").GetInt32().ShouldBe(429);
        document.RootElement.GetProperty("title").GetString().ShouldBe("Too many attempts");
        document.RootElement.GetProperty("detail").GetString()!.ShouldStartWith("Wait ");

        other.StatusCode.ShouldBe(HttpStatusCode.OK);
    }

    [Fact]
    [Trait("Requirement", "SEC-29")]
    public async Task OtherPosts_WhenManyInAMinute_AreNotCounted()
    {
        using var client = loopback.Client();
        for (var post = 0; post < FormRate.PostsPerWindow + 5; post++)
        {
            using var answer = await client.PostAsync("/elsewhere/test", null, Cancellation);
            answer.StatusCode.ShouldBe(HttpStatusCode.OK);
        }
    }

    [Theory]
    [InlineData("203.0.113.7", "203.0.113.7")]
    [InlineData("::ffff:203.0.113.7", "203.0.113.7")]
    [InlineData("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64")]
    [InlineData("2001:db8:1:2:ffff::1", "2001:db8:1:2::/64")]
    public void Client_WhenCounted_IsAnAddressOrAHouseholdsNetwork(string address, string expected) =>
        FormRate.ClientOf(IPAddress.Parse(address)).ShouldBe(expected);

    private static int SecondsToWait(HttpResponseMessage answer) =>
        int.Parse(answer.Headers.GetValues("Retry-After").Single(), CultureInfo.InvariantCulture);

    private static Task<HttpResponseMessage> PostAsync(HttpClient client, string address, string accept) =>
        client.SendAsync(
            HardenedSite.Request(
                HttpMethod.Post,
                "/account/test",
                ("Host", "caseload.example.org"),
                ("X-Forwarded-Proto", "https"),
                ("X-Forwarded-For", address),
                ("Accept", accept)
            ),
            Cancellation
        );

    private static async Task<string> ClientSeenAsync(HardenedSite site, params (string Name, string Value)[] headers)
    {
        using var client = site.Client();
        using var answer = await client.SendAsync(HardenedSite.Request(HttpMethod.Get, "/test/client", headers), Cancellation);
        return await answer.Content.ReadAsStringAsync(Cancellation);
    }
}
