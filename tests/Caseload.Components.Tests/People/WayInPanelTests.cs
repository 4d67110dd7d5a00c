using Bunit;
using Caseload.Web.Features.People;

namespace Caseload.Components.Tests.People;

public sealed class WayInPanelTests : ComponentTest
{
    private static readonly InvitationSlip _slip = new(
        "secret-of-the-link",
        "AAAAA-BBBBB-CCCCC-DDDDD",
        new DateTimeOffset(2026, 12, 2, 12, 0, 0, TimeSpan.FromHours(-6)),
        "rosa@example.org",
        "Larkfield"
    );

    private readonly List<bool> _invited = [];

    [Fact]
    public void NewPerson_Always_GetsAnInvitationAndNoQuestionAboutAnAuthenticator()
    {
        var panel = Panel(View(PersonStatus.NotInvited));

        panel.FindAll("input[type=checkbox]").ShouldBeEmpty();
        panel.Control("Make an invitation").Click();

        _invited.ShouldBe([false]);
    }

    [Fact]
    public void LostAuthenticator_WhenTicked_IsWarnedOfAndRaised()
    {
        var panel = Panel(View(PersonStatus.Active, hasSecondFactor: true));

        panel.Find("input[type=checkbox]").Change(true);
        panel.Find(".age-caution").Words().ShouldStartWith("Make sure who asks you.");
        panel.Control("Renew the way in").Click();
        panel.Control("Renew the way in").Click();

        _invited.ShouldBe([true, false]);
    }

    [Theory]
    [InlineData(PersonStatus.Disabled, false)]
    [InlineData(PersonStatus.Active, true)]
    public void WayIn_OfADisabledPersonOrOneself_IsNotOffered(PersonStatus status, bool isSelf) =>
        Panel(View(status, isSelf: isSelf)).FindAll("button").ShouldBeEmpty();

    [Fact]
    public void Slip_WhenMade_OffersMailLinkAndPaper()
    {
        var panel = Panel(View(PersonStatus.Invited), _slip);

        panel.Find("#invitation-link").GetAttribute("value").ShouldBe("http://localhost/welcome/secret-of-the-link");
        panel.AllWords(".slip dd").ShouldBe(["http://localhost/welcome", "AAAAA-BBBBB-CCCCC-DDDDD", "2 Dec 2026, 12:00"]);
        panel.Find(".slip").Words().ShouldStartWith("Larkfield");
        panel.Control("Print a code").Click();
        JSInterop.VerifyInvoke("caseload.print");
        panel.Control("Copy link").Click();
        JSInterop.VerifyInvoke("caseload.copy").Arguments.ShouldBe(["http://localhost/welcome/secret-of-the-link"]);
    }

    [Fact]
    public void Mail_Always_HoldsTheLinkAndNoNameOrCode()
    {
        var mail = Uri.UnescapeDataString(
            Panel(View(PersonStatus.Invited), _slip).Control("Open in my mail program").GetAttribute("href")!
        );

        mail.ShouldStartWith("mailto:rosa@example.org?subject=");
        mail.ShouldContain("http://localhost/welcome/secret-of-the-link");
        mail.ShouldNotContain("Rosa Lindqvist");
        mail.ShouldNotContain("AAAAA");
        mail.ShouldNotContain("Larkfield");
    }

    [Fact]
    public void Mail_WithoutAnAddress_IsNotOffered() =>
        Panel(View(PersonStatus.Invited), _slip with { Email = null }).FindAll("a").ShouldBeEmpty();

    private static PersonView View(PersonStatus status, bool hasSecondFactor = false, bool isSelf = false) =>
        new(new PersonForm { Name = "Rosa Lindqvist" }, 1, status, null, hasSecondFactor, 0, isSelf, []);

    private IRenderedComponent<WayInPanel> Panel(PersonView view, InvitationSlip? slip = null) =>
        Render<WayInPanel>(panel =>
            panel.Add(p => p.View, view).Add(p => p.Slip, slip).Add(p => p.OnInvite, isLost => _invited.Add(isLost))
        );
}

public sealed class PersonPanelTests : ComponentTest
{
    private readonly List<object?> _raised = [];

    [Fact]
    public void Disabling_Always_TakesASecondStepAndNamesTheChildren()
    {
        var panel = Disable(PersonStatus.Active, openChildCount: 1);

        panel.Control("Disable this person…").Click();
        panel.Words().ShouldContain("1 child still has this person as clinician.");
        _raised.ShouldBeEmpty();
        panel.Control("Disable this person").Click();

        _raised.ShouldBe([true]);
    }

    [Fact]
    public void Disabled_Person_CanBeEnabledAgain()
    {
        Disable(PersonStatus.Disabled).Control("Enable again").Click();

        _raised.ShouldBe([false]);
    }

    [Fact]
    public void SignIns_Always_CanBeEndedOneByOneOrAll()
    {
        var at = new DateTimeOffset(2026, 9, 1, 8, 5, 0, TimeSpan.Zero);
        SignInRow[] rows =
        [
            new(Samples.Id(1), "Safari on iPad", "192.0.2.7", at, at.AddHours(1)),
            new(Samples.Id(2), "Firefox", "192.0.2.8", at, at),
        ];
        var panel = Render<SignInsPanel>(p => p.Add(s => s.SignIns, rows).Add(s => s.OnEnd, id => _raised.Add(id)));

        panel.Find("li").Words().ShouldContain("192.0.2.7 · since 1 Sep 08:05 · last seen 1 Sep 09:05");
        panel.Control("End on Safari on iPad, 192.0.2.7").Click();
        panel.Control("End all").Click();

        _raised.ShouldBe([Samples.Id(1), null]);
    }

    private IRenderedComponent<DisablePanel> Disable(PersonStatus status, int openChildCount = 0) =>
        Render<DisablePanel>(panel =>
            panel
                .Add(p => p.View, new PersonView(new PersonForm(), 1, status, null, false, openChildCount, false, []))
                .Add(p => p.OnChange, isDisabled => _raised.Add(isDisabled))
        );
}
