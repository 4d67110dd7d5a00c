using Caseload.Domain.Ages;

namespace Caseload.Domain.Tests.Ages;

[Trait("Requirement", "SEC-27")]
public sealed class BirthFactsTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);
    private static readonly DateOnly Born = new(2026, 1, 5);

    [Theory]
    [InlineData(31, 4, "2026-03-05")]
    [InlineData(40, 0, "2026-01-05")]
    [InlineData(41, 3, "2025-12-26")]
    [InlineData(24, 0, "2026-04-27")]
    public void ExpectedOn_WhenGestationIsKnown_IsBirthPlusWhatWasMissing(int weeks, int days, string expectedOn)
    {
        // ACOG Committee Opinion 700: 280 days (the figure from memory, and in other texts; the dates are derived here, not published).
        var birth = Births.Of(Born, weeks, days);

        birth.ExpectedOn.ShouldBe(Day.Of(expectedOn));
    }

    [Fact]
    public void ExpectedOn_WhenGestationIsUnknown_IsNull()
    {
        var birth = Births.Unknown(Born);

        birth.ExpectedOn.ShouldBeNull();
        birth.AnchorOn(259).ShouldBe(Born);
        birth.IsCorrected(259).ShouldBeFalse();
    }

    [Theory]
    [InlineData(36, 6, 259, true)] // WHO: preterm is before 37 completed weeks (via copies; EPIREV gives 259 days)
    [InlineData(37, 0, 259, false)]
    [InlineData(39, 6, 259, false)]
    [InlineData(39, 6, 280, true)]
    [InlineData(40, 0, 280, false)]
    [InlineData(41, 0, 280, false)]
    [InlineData(41, 0, 314, false)] // never from 40+0 on, whatever a policy says
    [InlineData(31, 6, 224, true)]
    [InlineData(32, 0, 224, false)]
    public void IsCorrected_WhenGestationMeetsTheLimit_TurnsOnTheDay(int weeks, int days, int correctBelowDays, bool isCorrected)
    {
        var birth = Births.Of(Born, weeks, days);

        birth.IsCorrected(correctBelowDays).ShouldBe(isCorrected);
        birth.AnchorOn(correctBelowDays).ShouldBe(isCorrected ? birth.ExpectedOn!.Value : Born);
    }

    [Fact]
    public void Create_WhenBornTomorrow_NamesTheFieldAndTheFix()
    {
        var refusal = BirthFacts.Create(Today.AddDays(1), null, null, Today).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe("born");
        refusal.Message.ShouldBe("The birth date 2026-11-26 lies after 2026-11-25. Enter a date that has passed.");
    }

    [Fact]
    public void Create_WhenBornToday_Accepts() => BirthFacts.Create(Today, null, null, Today).Value.BornOn.ShouldBe(Today);

    [Fact]
    public void Create_WhenBornTenYearsAgo_TakesTheDayButNotTheDayBefore()
    {
        BirthFacts.Create(new DateOnly(2016, 11, 25), null, null, Today).IsAccepted.ShouldBeTrue();

        var refusal = BirthFacts.Create(new DateOnly(2016, 11, 24), null, null, Today).Refusals.ShouldHaveSingleItem();
        refusal.Field.ShouldBe("born");
        refusal.Message.ShouldBe("The birth date 2016-11-24 is more than ten years before 2026-11-25. Check the year.");
    }

    [Fact]
    public void Create_WhenOnlyExpectedDateIsGiven_DerivesGestation()
    {
        var birth = BirthFacts.Create(Born, null, Day.Of("2026-03-05"), Today).Value;

        birth.Gestation!.Value.ToString().ShouldBe("31+4");
        birth.ExpectedOn.ShouldBe(Day.Of("2026-03-05"));
    }

    [Fact]
    public void Create_WhenExpectedDateAndGestationAgree_Accepts()
    {
        var gestation = GestationalAge.Create(31, 4).Value;

        BirthFacts.Create(Born, gestation, Day.Of("2026-03-05"), Today).Value.Gestation.ShouldBe(gestation);
    }

    [Fact]
    public void Create_WhenExpectedDateContradictsGestation_NamesBothAndTheFix()
    {
        var gestation = GestationalAge.Create(31, 4).Value;

        var refusal = BirthFacts.Create(Born, gestation, Day.Of("2026-03-06"), Today).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe("expected");
        refusal.Message.ShouldBe(
            "The expected date 2026-03-06 means 31+3 weeks at birth, but the gestation says 31+4. Correct one, or leave one empty."
        );
    }

    [Theory]
    [InlineData("2026-05-25", true)] // 140 days after birth: 20+0
    [InlineData("2026-05-26", false)]
    [InlineData("2025-12-02", true)] // 34 days before birth: 44+6
    [InlineData("2025-12-01", false)]
    public void Create_WhenExpectedDateMeetsTheLimitsOfGestation_TurnsOnTheDay(string expectedOn, bool isAccepted)
    {
        var result = BirthFacts.Create(Born, null, Day.Of(expectedOn), Today);

        result.IsAccepted.ShouldBe(isAccepted);
    }

    [Fact]
    public void Create_WhenExpectedDateIsImpossible_SaysHowFarApartAndTheFix()
    {
        var refusal = BirthFacts.Create(Born, null, Day.Of("2026-05-26"), Today).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe("expected");
        refusal.Message.ShouldBe(
            "The expected date 2026-05-26 and the birth date 2026-01-05 are 141 days apart, "
                + "which no gestation between 20+0 and 44+6 weeks allows. Check both dates."
        );
    }

    [Fact]
    public void Value_WhenRefused_ThrowsWithTheMessage() =>
        Should
            .Throw<InvalidOperationException>(() => BirthFacts.Create(Today.AddDays(1), null, null, Today).Value)
            .Message.ShouldStartWith("Refused: The birth date");

    [Theory]
    [InlineData(221)]
    [InlineData(null)]
    public void Restore_WhenStoredFactsComeBack_KeepsThem(int? gestationDays)
    {
        var birth = BirthFacts.Restore(Born, gestationDays);

        birth.BornOn.ShouldBe(Born);
        (birth.Gestation?.TotalDays).ShouldBe(gestationDays);
    }
}
