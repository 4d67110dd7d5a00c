using Caseload.Integration.Tests.Hardening;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;

namespace Caseload.Integration.Tests.Account;

public sealed class IdentityProviderSettingsTests
{
    private const string Authority = IdentityProviderSettings.AuthoritySetting;
    private const string Client = IdentityProviderSettings.ClientSetting;

    [Fact]
    public void Settings_WhenThereAreNone_NameNoProvider()
    {
        IdentityProviderSettings.Read(HardenedSite.Settings()).ShouldBeNull();
        IdentityProviderSettings.Read(HardenedSite.Settings((Authority, " "), (Client, ""))).ShouldBeNull();
    }

    [Fact]
    public void Settings_WithTheTwoThatAreNeeded_HaveAUsualLabelAndNoSecret()
    {
        var settings = IdentityProviderSettings.Read(
            HardenedSite.Settings((Authority, "https://login.example.org/realms/team"), (Client, "caseload"))
        );

        settings.ShouldBe(
            new IdentityProviderSettings(new Uri("https://login.example.org/realms/team"), "caseload", null, "your organisation")
        );
        settings!.Origin.ShouldBe("https://login.example.org");
    }

    [Theory]
    [InlineData("http://127.0.0.1:9000")]
    [InlineData("http://localhost:9000/realm")]
    [InlineData("http://[::1]:9000")]
    public void Authority_OnThisMachine_MayBePlain(string authority) =>
        IdentityProviderSettings.Read(HardenedSite.Settings((Authority, authority), (Client, "caseload"))).ShouldNotBeNull();

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData("http://login.example.org")]
    [InlineData("http://127.0.0.1.example.org")]
    [InlineData("ftp://login.example.org")]
    [InlineData("login.example.org")]
    [InlineData("https://somebody@login.example.org")]
    [InlineData("https://login.example.org/?x=1")]
    public void Authority_ThatIsNotSafe_StopsTheStart(string authority) =>
        ShouldStop("https://", (Authority, authority), (Client, "caseload"));

    [Fact]
    public void OneWithoutTheOther_StopsTheStart_AndSaysWhatToSet()
    {
        ShouldStop(Client, (Authority, "https://login.example.org"));
        ShouldStop(Authority, (Client, "caseload"));
        ShouldStop(Authority, (IdentityProviderSettings.SecretFileSetting, "/run/secrets/client"));
    }

    [Fact]
    public void SecretFile_ThatIsMissingOrEmpty_StopsTheStart()
    {
        var file = Path.GetTempFileName();
        try
        {
            ShouldStop("is empty", Complete(IdentityProviderSettings.SecretFileSetting, file));
            File.WriteAllText(file, " secret\n");
            IdentityProviderSettings
                .Read(HardenedSite.Settings(Complete(IdentityProviderSettings.SecretFileSetting, file)))!
                .ClientSecret.ShouldBe("secret");
        }
        finally
        {
            File.Delete(file);
        }
        ShouldStop("does not exist", Complete(IdentityProviderSettings.SecretFileSetting, file));
    }

    [Fact]
    public void Label_ThatFitsNoButton_StopsTheStart() =>
        ShouldStop(IdentityProviderSettings.LabelSetting, Complete(IdentityProviderSettings.LabelSetting, new string('a', 61)));

    private static (string, string)[] Complete(string setting, string value) =>
        [(Authority, "https://login.example.org"), (Client, "caseload"), (setting, value)];

    private static void ShouldStop(string advice, params (string Name, string Value)[] settings) =>
        Should
            .Throw<HostStartException>(() => IdentityProviderSettings.Read(HardenedSite.Settings(settings)))
            .Message.ShouldContain(advice);
}
