using Caseload.Domain.Findings;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Findings;

[Trait("Requirement", "SEC-27")]
public sealed class FindingTests
{
    private static readonly ReferenceSet Set = ReferenceSets.Default;
    private static readonly DateOnly Born = new(2026, 1, 5);
    private static readonly DateOnly Today = new(2026, 9, 1);

    private static readonly Finding Moro = new(
        new Guid("00000000-0000-0000-0000-000000000001"),
        "moro",
        new DateOnly(2026, 5, 4),
        Side.Both,
        Response.Typical,
        BehaviouralState.QuietAlert
    );

    [Fact]
    public void Check_WhenFindingIsWhole_AcceptsItUnchanged() => Check(Moro).Value.ShouldBeSameAs(Moro);

    [Fact]
    public void Check_WhenDatesStandAtTheirLimits_Accepts()
    {
        Check(Moro with { ObservedOn = Born }).IsAccepted.ShouldBeTrue();
        Check(Moro with { ObservedOn = Today }).IsAccepted.ShouldBeTrue();
    }

    [Fact]
    public void Check_WhenItemIsUnknown_SaysWhichSet() =>
        Refusal(Moro with { Item = "mooro" })
            .ShouldBe(
                new Refusal("item", "\"mooro\" is not an item of reference set published@1. Use an item id of that set, for example moro.")
            );

    [Fact]
    public void Check_WhenDatedBeforeBirth_NamesBothDates() =>
        Refusal(Moro with { ObservedOn = Born.AddDays(-1) })
            .ShouldBe(new Refusal("on", "Moro is dated 2026-01-04, before the birth on 2026-01-05. Correct the date."));

    [Fact]
    public void Check_WhenDatedTomorrow_AsksForADateThatHasPassed() =>
        Refusal(Moro with { ObservedOn = Today.AddDays(1) })
            .ShouldBe(new Refusal("on", "Moro is dated 2026-09-02, after 2026-09-01. Enter a date that has passed."));

    [Fact]
    public void Check_WhenResponseIsAnotherItemsWord_ListsTheWords() =>
        Refusal(Moro with { Response = Response.Partial })
            .ShouldBe(new Refusal("response", "Moro is graded absent, weak, typical, brisk, obligatory; \"partial\" is not one of them."));

    [Fact]
    public void Check_WhenNeitherResponseNorReasonIsGiven_AsksForOne() =>
        Refusal(Moro with { Response = null })
            .ShouldBe(new Refusal("response", "Moro: give either a response or the reason why it could not be tested."));

    [Fact]
    public void Check_WhenBothResponseAndReasonAreGiven_AsksForOne() =>
        Refusal(Moro with { NotTested = NotTestedReason.Crying }).Field.ShouldBe("response");

    [Fact]
    public void Check_WhenItCouldNotBeTested_AcceptsTheReason() =>
        Check(Moro with { Response = null, NotTested = NotTestedReason.JustFed }).IsAccepted.ShouldBeTrue();

    [Fact]
    public void Check_WhenItemHasNoSides_RefusesASide()
    {
        var babkin = Moro with { Item = "babkin", Side = Side.Left };

        Refusal(babkin).ShouldBe(new Refusal("side", "Babkin has no sides. Leave the side empty."));
        Check(babkin with { Side = Side.Both }).IsAccepted.ShouldBeTrue();
    }

    [Theory]
    [InlineData(null)]
    [InlineData(" ")]
    public void Check_WhenACorrectionHasNoReason_AsksForIt(string? reason) =>
        Refusal(Moro with { Corrects = Guid.Empty, CorrectionReason = reason }).Field.ShouldBe("correctionReason");

    [Fact]
    public void Check_WhenAWithdrawalPointsToNothing_AsksWhatItTakesBack() =>
        Refusal(Moro with { IsWithdrawal = true })
            .ShouldBe(new Refusal("corrects", "Taking a finding back needs the finding it takes back."));

    [Fact]
    public void Check_WhenAWithdrawalIsWhole_NeedsNoResponse() =>
        Check(Moro with { IsWithdrawal = true, Response = null, Corrects = Guid.Empty, CorrectionReason = "Wrong child." })
            .IsAccepted.ShouldBeTrue();

    [Fact]
    public void Check_WhenTwoThingsAreWrong_NamesBoth() =>
        Check(Moro with { ObservedOn = Today.AddDays(1), Response = Response.Complete })
            .Refusals.Select(refusal => refusal.Field)
            .ShouldBe(["on", "response"]);

    [Fact]
    public void StandingFindings_WhenCorrectedAndTakenBack_LeavesOnlyWhatStands()
    {
        var corrected = Moro with { Id = Id(2), Response = Response.Weak, Corrects = Moro.Id, CorrectionReason = "Typing error." };
        var again = corrected with { Id = Id(3), Response = Response.Absent, Corrects = Id(2) };
        var other = Moro with { Id = Id(4), Item = "atnr" };
        var withdrawal = other with { Id = Id(5), Corrects = Id(4), IsWithdrawal = true, Response = null };

        StandingFindings.Of([Moro, corrected, again, other, withdrawal]).ShouldBe([again]);
        StandingFindings.Of([withdrawal, again, other, corrected, Moro]).ShouldBe([again]);
        StandingFindings.Of([Moro, corrected, other]).ShouldBe([corrected, other]);
    }

    private static Guid Id(byte number) => new(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, number);

    private static Checked<Finding> Check(Finding finding) => Finding.Check(finding, Set, Born, Today);

    private static Refusal Refusal(Finding finding) => Check(finding).Refusals.ShouldHaveSingleItem();
}
