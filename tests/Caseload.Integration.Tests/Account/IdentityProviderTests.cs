using System.Net;
using Caseload.Data.People;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.Extensions.DependencyInjection;
using OtpNet;

namespace Caseload.Integration.Tests.Account;

/// <summary>Who is let in by an identity provider: the real host, a provider of our own, and a browser that is led by hand.</summary>
public sealed class IdentityProviderTests(ProviderSite site) : IClassFixture<ProviderSite>
{
    private const string SignInCookie = "caseload-sign-in";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task FirstTime_WithTheVerifiedAddressOfAPerson_LinksAndLetsIn()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email.ToUpperInvariant());
        site.Provider.Account = new InventedAccount(subject, email);
        using var browser = site.Open();

        var arrival = await browser.SignInAsync();

        arrival.LeadsTo.ShouldBe("/");
        browser.Has(SignInCookie).ShouldBeTrue();
        browser.Has("caseload-external").ShouldBeFalse();
        (await site.SignInsAsync(personId)).ShouldBe([SignInMethod.IdentityProvider]);
        var login = (await site.LoginsAsync(personId)).ShouldHaveSingleItem();
        (login.Issuer, login.Subject).ShouldBe((site.Provider.Issuer, subject));
        (await site.CountRecordedAsync(personId, "identity-linked")).ShouldBe(1);
        (await browser.ArriveAsync("/account")).Status.ShouldBe(HttpStatusCode.OK);
    }

    [Fact]
    public async Task LaterTimes_KnowTheAccount_WhateverBecameOfItsAddress()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email);
        using (var first = site.Open())
        {
            await first.SignInAsync();
        }
        site.Provider.Account = new InventedAccount(subject, "renamed@example.org") { IsEmailVerified = false };
        await site.ChangeAsync(personId, person => person.Email = null);

        for (var time = 0; time < 2; time++)
        {
            using var browser = site.Open();
            (await browser.SignInAsync()).LeadsTo.ShouldBe("/");
            browser.Has(SignInCookie).ShouldBeTrue();
        }

        (await site.SignInsAsync(personId)).ShouldBe(Enumerable.Repeat(SignInMethod.IdentityProvider, 3));
        (await site.LoginsAsync(personId)).Count.ShouldBe(1);
        (await site.CountRecordedAsync(personId, "identity-linked")).ShouldBe(1);
    }

    [Fact]
    public async Task Address_ThatIsToldApartFromTheToken_Counts()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email) { IsEmailApart = true };
        using var browser = site.Open();

        (await browser.SignInAsync()).LeadsTo.ShouldBe("/");

        (await site.LoginsAsync(personId)).Count.ShouldBe(1);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Address_ThatIsNotVerified_LinksNobody(bool isApart)
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email) { IsEmailVerified = false, IsEmailApart = isApart };

        await ShouldBeNobodyAsync();

        (await site.LoginsAsync(personId)).ShouldBeEmpty();
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
    }

    [Fact]
    public async Task Address_ThatNobodyHas_IsNobody_AndSaysTheSameAsAnUnverifiedOne()
    {
        var (email, subject) = ProviderSite.NewAccount();
        site.Provider.Account = new InventedAccount(subject, email);
        var unknown = await ShouldBeNobodyAsync();
        await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email) { IsEmailVerified = false };

        (await ShouldBeNobodyAsync()).ShouldBe(unknown);

        var log = await site.Site.ReadLogAsync("belongs to nobody here", Ct);
        log.ShouldContain("belongs to nobody here");
        log.ShouldNotContain(email);
        log.ShouldNotContain(subject);
    }

    [Fact]
    public async Task Address_ThatSeveralHave_LinksNobody_AlsoWhenOneIsLinked()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var first = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email);
        using (var browser = site.Open())
        {
            (await browser.SignInAsync()).LeadsTo.ShouldBe("/");
        }
        var second = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject + "-other", email);

        await ShouldBeNobodyAsync();

        (await site.LoginsAsync(first)).Single().Subject.ShouldBe(subject);
        (await site.LoginsAsync(second)).ShouldBeEmpty();
    }

    [Fact]
    public async Task AnotherAccount_WithTheAddressOfALinkedPerson_IsNobody()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email);
        using (var browser = site.Open())
        {
            await browser.SignInAsync();
        }
        site.Provider.Account = new InventedAccount(subject + "-other", email);

        await ShouldBeNobodyAsync();

        (await site.SignInsAsync(personId)).Count.ShouldBe(1);
    }

    [Theory]
    [InlineData("a%@example.org")]
    [InlineData("_@example.org")]
    public async Task Address_WithSignsOfAPattern_IsTakenAsItIs(string pattern)
    {
        await site.AddPersonAsync("a@example.org");
        site.Provider.Account = new InventedAccount(ProviderSite.NewAccount().Subject, pattern);

        await ShouldBeNobodyAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task SecondFactor_WhenTheProviderAskedForIt_IsNotAskedAgain()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email) { Methods = ["pwd", "mfa"] };
        using var browser = site.Open();

        (await WhereASecondFactorIsAskedAsync(() => browser.SignInAsync())).LeadsTo.ShouldBe("/");

        (await site.SignInsAsync(personId)).ShouldBe([SignInMethod.IdentityProvider]);
    }

    [Theory]
    [InlineData("pwd")]
    [InlineData("otp")]
    [InlineData("MFA")]
    [InlineData("mfa-not")]
    [Trait("Requirement", "SEC-08")]
    public async Task SecondFactor_WhenTheProviderDoesNotSayIt_IsPairedFirst(string method)
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email);
        site.Provider.Account = new InventedAccount(subject, email) { Methods = [method] };
        using var browser = site.Open();

        var arrival = await WhereASecondFactorIsAskedAsync(() => browser.SignInAsync("/account/external/start?return=%2Fteam"));

        arrival.LeadsTo.ShouldBe("/account/second-factor?return=%2Fteam");
        browser.Has(SignInCookie).ShouldBeFalse();
        (await browser.ArriveAsync(arrival.LeadsTo!)).Text.ShouldContain("Pair an authenticator app");
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task Authenticator_OfAPersonWhoHasOne_IsAskedForAfterTheProvider()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var secret = AuthenticatorCodes.NewSecret();
        var protector = site.Site.Services.GetRequiredService<IDataProtectionProvider>().CreateProtector("caseload.authenticator");
        var personId = await site.AddPersonAsync(email, person => person.AuthenticatorSecret = protector.Protect(secret));
        site.Provider.Account = new InventedAccount(subject, email);
        using var browser = site.Open();

        (await browser.SignInAsync()).LeadsTo.ShouldBe("/account/code");
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
        var wrong = await browser.SubmitAsync("/account/code", ("Form.Code", "not it"));
        var right = await browser.SubmitAsync(
            "/account/code",
            ("Form.Code", new Totp(Base32Encoding.ToBytes(secret)).ComputeTotp(ProviderSite.NowAt.UtcDateTime))
        );

        wrong.Text.ShouldContain("This code is not right");
        right.LeadsTo.ShouldBe("/");
        browser.Has(SignInCookie).ShouldBeTrue();
        (await site.SignInsAsync(personId)).ShouldBe([SignInMethod.IdentityProvider]);
        (await site.CountRecordedAsync(personId, "sign-in-failed")).ShouldBe(1);
    }

    [Fact]
    public async Task DisabledPerson_StaysOut_LinkedOrNot()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(email, person => person.DisabledAt = ProviderSite.NowAt);
        site.Provider.Account = new InventedAccount(subject, email) { Methods = ["mfa"] };
        await ShouldBeNobodyAsync();
        await site.ChangeAsync(personId, person => person.DisabledAt = null);
        using (var browser = site.Open())
        {
            (await browser.SignInAsync()).LeadsTo.ShouldBe("/");
        }
        await site.ChangeAsync(personId, person => person.DisabledAt = ProviderSite.NowAt);

        await ShouldBeShutAsync();

        (await site.SignInsAsync(personId)).Count.ShouldBe(1);
        (await site.CountRecordedAsync(personId, "sign-in-failed")).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-12")]
    public async Task LockedPerson_StaysOut_AndIsNotLinked()
    {
        var (email, subject) = ProviderSite.NewAccount();
        var personId = await site.AddPersonAsync(
            email,
            person => (person.FailureCount, person.LastFailureAt) = (FailureThrottle.FailuresPerLock, ProviderSite.NowAt)
        );
        site.Provider.Account = new InventedAccount(subject, email) { Methods = ["mfa"] };

        await ShouldBeShutAsync();

        (await site.LoginsAsync(personId)).ShouldBeEmpty();
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
    }

    private async Task<Arrival> WhereASecondFactorIsAskedAsync(Func<Task<Arrival>> act)
    {
        await site.AskForSecondFactorAsync(isAsked: true);
        try
        {
            return await act();
        }
        finally
        {
            await site.AskForSecondFactorAsync(isAsked: false);
        }
    }

    private async Task<string> ShouldBeNobodyAsync()
    {
        using var browser = site.Open();
        var arrival = await browser.SignInAsync();
        arrival.Status.ShouldBe(HttpStatusCode.OK);
        arrival.Text.ShouldContain("Nobody here has this account");
        arrival.Text.ShouldContain("Ask the administrator");
        browser.Has(SignInCookie).ShouldBeFalse();
        browser.Has("caseload-external").ShouldBeFalse();
        return arrival.Text[
            arrival.Text.IndexOf("<main", StringComparison.Ordinal)..arrival.Text.IndexOf("</main>", StringComparison.Ordinal)
        ];
    }

    private async Task ShouldBeShutAsync()
    {
        using var browser = site.Open();
        var arrival = await browser.SignInAsync();
        arrival.Text.ShouldContain("You cannot come in now");
        browser.Has(SignInCookie).ShouldBeFalse();
    }
}
