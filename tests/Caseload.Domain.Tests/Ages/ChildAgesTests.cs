using Caseload.Domain.Ages;
using Caseload.Domain.Policy;
using CsCheck;

namespace Caseload.Domain.Tests.Ages;

public sealed class ChildAgesTests
{
    private static readonly ReviewPolicy Upto24 = ReviewPolicy.Default;
    private static readonly ReviewPolicy Upto36 = ReviewPolicy.Default with { CorrectionMonths = 36 };

    [Theory]
    [InlineData(37, 0, AgeCaution.EarlyTermNotCorrected)]
    [InlineData(39, 6, AgeCaution.EarlyTermNotCorrected)]
    [InlineData(40, 0, null)]
    [InlineData(41, 6, null)]
    [InlineData(42, 0, AgeCaution.PostTerm)] // EPIREV: post-term from 42 completed weeks (294 days)
    [InlineData(44, 6, AgeCaution.PostTerm)]
    public void Of_WhenBornAtTerm_CountsFromBirth(int weeks, int days, AgeCaution? caution)
    {
        var birth = Births.Of(Day.Of("2026-01-05"), weeks, days);

        var ages = ChildAges.Of(birth, Day.Of("2026-07-12"), Upto24);

        ages.Chronological.ShouldBe(new CalendarAge(0, 6, 7, 188));
        ages.Corrected.ShouldBe(ages.Chronological);
        ages.Basis.ShouldBe(AgeBasis.Chronological);
        ages.Cautions.ShouldBe(caution is { } known ? [known] : []);
    }

    [Fact]
    public void Of_WhenBornAt36Plus6_IsCorrected()
    {
        // WHO: preterm is before 37 completed weeks (seen in copies of its fact sheet; 259 days: Epidemiol Rev 2014;36:148-64).
        var ages = ChildAges.Of(Births.Of(Day.Of("2026-01-05"), 36, 6), Day.Of("2026-07-12"), Upto24);

        ages.Basis.ShouldBe(AgeBasis.Corrected);
        ages.Corrected!.Value.TotalDays.ShouldBe(ages.Chronological.TotalDays - 22);
        ages.Cautions.ShouldBeEmpty();
    }

    [Fact]
    public void Of_WhenBornAfter40Weeks_IsNeverOlderThanItsBirthday() =>
        (
            from gestationDays in Gen.Int[280, 314]
            from later in Gen.Int[0, 1500]
            from limit in Gen.Int[196, 280]
            select (gestationDays, later, limit)
        ).Sample(
            (gestationDays, later, limit) =>
            {
                var born = Day.Of("2026-01-05");
                var ages = ChildAges.Of(
                    BirthFacts.Restore(born, gestationDays),
                    born.AddDays(later),
                    Upto24 with
                    {
                        CorrectBelowDays = limit,
                    }
                );

                ages.Corrected!.Value.TotalDays.ShouldBe(later);
                ages.Basis.ShouldBe(AgeBasis.Chronological);
            },
            iter: 2_000
        );

    [Theory]
    [InlineData("2026-03-04", AgeBasis.Postmenstrual)]
    [InlineData("2026-03-05", AgeBasis.Corrected)]
    public void Of_WhenExpectedDateComes_TurnsOnTheDay(string on, AgeBasis basis)
    {
        var ages = ChildAges.Of(Births.Of(Day.Of("2026-01-05"), 31, 4), Day.Of(on), Upto24);

        ages.Basis.ShouldBe(basis);
        ages.ExpectedOn.ShouldBe(Day.Of("2026-03-05"));
        (ages.Corrected is null).ShouldBe(basis == AgeBasis.Postmenstrual);
        ages.Cautions.ShouldBe(basis == AgeBasis.Postmenstrual ? [AgeCaution.BeforeExpectedDate] : []);
        ages.Postmenstrual!.Value.ToString().ShouldBe(basis == AgeBasis.Postmenstrual ? "39+6" : "40+0");
    }

    // 24 months: NICE NG62, AAP parent guidance. 36 months: AAP 2004 as cited in Wilson-Ching 2014. That the limit is tested on
    // corrected age is common practice, no source.
    [Theory]
    [InlineData(24, "2028-03-04", true)]
    [InlineData(24, "2028-03-05", false)]
    [InlineData(36, "2028-03-05", true)]
    [InlineData(36, "2029-03-04", true)]
    [InlineData(36, "2029-03-05", false)]
    public void Of_WhenCorrectionReachesItsLimit_EndsOnTheDay(int months, string on, bool isCorrected)
    {
        var policy = months == 24 ? Upto24 : Upto36;

        var ages = ChildAges.Of(Births.Of(Day.Of("2026-01-05"), 31, 4), Day.Of(on), policy);

        ages.Basis.ShouldBe(isCorrected ? AgeBasis.Corrected : AgeBasis.Chronological);
        (ages.Corrected is not null).ShouldBe(isCorrected);
        ages.Cautions.ShouldBe(isCorrected ? [] : [AgeCaution.CorrectionEnded]);
    }

    [Fact]
    public void Of_WhenGestationIsUnknown_ShowsChronologicalWithACaution()
    {
        var ages = ChildAges.Of(Births.Unknown(Day.Of("2026-01-05")), Day.Of("2026-07-12"), Upto24);

        ages.Basis.ShouldBe(AgeBasis.Chronological);
        ages.Cautions.ShouldBe([AgeCaution.GestationUnknown]);
        (ages.Corrected, ages.Postmenstrual, ages.ExpectedOn).ShouldBe((null, null, null));
    }

    [Fact]
    public void Of_WhenDateLiesBeforeBirth_Throws() =>
        Should.Throw<ArgumentOutOfRangeException>(() => ChildAges.Of(Births.Unknown(Day.Of("2026-01-05")), Day.Of("2026-01-04"), Upto24));

    [Fact]
    public void Of_WhenCorrected_KeepsTheDefinitionsOfAap2004() =>
        // AAP 2004, Pediatrics 114:1362: postmenstrual = gestation + time since birth; corrected = time since birth less the
        // weeks born before 40 weeks.
        (from gestationDays in Gen.Int[140, 258] from later in Gen.Int[0, 900] select (gestationDays, later)).Sample(
            (gestationDays, later) =>
            {
                var born = Day.Of("2024-02-29");
                var ages = ChildAges.Of(BirthFacts.Restore(born, gestationDays), born.AddDays(later), Upto36);

                ages.Postmenstrual!.Value.TotalDays.ShouldBe(gestationDays + later);
                (ages.Corrected?.TotalDays).ShouldBe(later < 280 - gestationDays ? null : later - (280 - gestationDays));
            },
            iter: 2_000
        );
}
