using Caseload.Domain.Ages;
using Caseload.Domain.Policy;

namespace Caseload.Domain.Tests.Ages;

/// <summary>Worked examples of corrected age that somebody published, by the numbers of the project's collected evidence.</summary>
/// <remarks>
/// A stated week is seven days. A stated month is a calendar month counted from the expected date, except where the source
/// divides weeks by four (E2, E10, and the months in brackets of E9 and E12); there the completed calendar months are compared.
/// Where a source names no dates, every birth date of four years is tried, so that the answer hangs on no month's length.
/// </remarks>
public sealed class PublishedAgeExamplesTests
{
    private static readonly IReadOnlyList<DateOnly> BirthDates =
    [
        .. Enumerable.Range(0, 1461).Select(later => new DateOnly(2019, 3, 1).AddDays(later)),
    ];

    [Fact]
    public void Of_WhenExampleE1IsFollowed_Gives2Weeks()
    {
        // CDC growth-chart training, module 2, p. 5, after Kessler & Dawson 1999: born 19 March 2001 at 30 weeks, seen 11 June 2001:
        // 12 weeks old, adjusted by 10 weeks, corrected 2 weeks.
        var ages = Ages(Day.Of("2001-03-19"), 30, 0, Day.Of("2001-06-11"));

        ages.Chronological.TotalDays.ShouldBe(12 * 7);
        (ages.ExpectedOn!.Value.DayNumber - Day.Of("2001-03-19").DayNumber).ShouldBe(10 * 7);
        ages.Corrected!.Value.TotalDays.ShouldBe(2 * 7);
        ages.ExpectedOn.ShouldBe(Day.Of("2001-05-28"));
        ages.Postmenstrual!.Value.ToString().ShouldBe("42+0");
    }

    [Fact]
    public void Of_WhenExampleE2IsFollowed_Gives21CompletedMonths()
    {
        // AAP 2004, Pediatrics 114:1362 (formula seen in a copy, the numbers from memory): 24 months old, born at 28 weeks,
        // 21 months, by 4-week months.
        foreach (var born in BirthDates)
        {
            Ages(born, 28, 0, born.AddMonths(24)).Corrected!.Value.TotalMonths.ShouldBe(21, Day.Iso(born));
        }
    }

    [Fact]
    public void Of_WhenExampleE3IsFollowed_Gives43Weeks6DaysPostmenstrual()
    {
        // AAP 2004, Pediatrics 114:1362 (from memory): 33 weeks 1 day at birth, 10 weeks 5 days old.
        var born = Day.Of("2024-02-29");

        Ages(born, 33, 1, born.AddDays(10 * 7 + 5)).Postmenstrual!.Value.ToString().ShouldBe("43+6");
    }

    // E4: GPnotebook, age-adjusting for baby's development (cites Pulse 2000;60(35):80).
    // E5: AAP "Preemie milestones", seen in a copy. E6: First 5 California, prematurity page.
    // E9: Miracle Babies Foundation. E12: a parent-education text, seen in a copy, which calls 24 weeks six months.
    [Theory]
    [InlineData("E4", 35, 0, 8, 3)]
    [InlineData("E5", 34, 0, 14, 8)]
    [InlineData("E6", 35, 0, 20, 15)]
    [InlineData("E9", 25, 0, 27, 12)]
    [InlineData("E12", 28, 0, 24, 12)]
    public void Of_WhenExampleIsGivenInWeeks_GivesTheStatedWeeks(string example, int weeks, int days, int weeksOld, int correctedWeeks)
    {
        foreach (var born in BirthDates)
        {
            var ages = Ages(born, weeks, days, born.AddDays(weeksOld * 7));

            ages.Corrected!.Value.TotalDays.ShouldBe(correctedWeeks * 7, $"{example}, born {born:O}");
            ages.Basis.ShouldBe(AgeBasis.Corrected);
        }
    }

    [Theory]
    [InlineData("E9")]
    [InlineData("E12")]
    public void Of_WhenExampleCalls12WeeksThreeMonths_HasTwoCompletedCalendarMonths(string example)
    {
        // "3 mo" of E9 and E12 are 4-week months; three calendar months are at least 89 days and 12 weeks are 84.
        var (weeks, weeksOld) = example == "E9" ? (25, 27) : (28, 24);
        foreach (var born in BirthDates)
        {
            var corrected = Ages(born, weeks, 0, born.AddDays(weeksOld * 7)).Corrected!.Value;

            (corrected.TotalDays / 28).ShouldBe(3);
            corrected.TotalMonths.ShouldBe(2);
        }
    }

    [Fact]
    public void Of_WhenExampleE7IsFollowed_Gives9Months()
    {
        // Raising Children Network (Australia): one year old, three months early, nine months. Calendar months, so the birth is
        // entered by its expected date, three months after it; where the month ends clamp, a year less three months is still 9.
        foreach (var born in BirthDates)
        {
            var birth = BirthFacts.Create(born, null, born.AddMonths(3), born.AddYears(1)).Value;
            var corrected = ChildAges.Of(birth, born.AddYears(1), ReviewPolicy.Default).Corrected!.Value;
            var isClamped = born.AddMonths(3).Day != born.Day;

            (corrected.TotalMonths, isClamped ? 0 : corrected.Days).ShouldBe((9, 0), Day.Iso(born));
        }
    }

    [Fact]
    public void Of_WhenExampleE8IsFollowed_Shows38WeeksAndNoNegativeAge()
    {
        // Raising Children Network (Australia): an 8-week-old born at 30 weeks is at "38 weeks".
        foreach (var born in BirthDates)
        {
            var ages = Ages(born, 30, 0, born.AddDays(8 * 7));

            ages.Basis.ShouldBe(AgeBasis.Postmenstrual);
            ages.Postmenstrual!.Value.ToString().ShouldBe("38+0");
            ages.Corrected.ShouldBeNull();
        }
    }

    [Fact]
    public void Of_WhenExampleE10IsFollowed_GivesOneCompletedMonth()
    {
        // Life-cycle nutrition textbook question (Brown, 6th ed., seen in a homework-solution copy): 32 weeks, 3 months old,
        // 1 month, by 4-week months.
        foreach (var born in BirthDates)
        {
            Ages(born, 32, 0, born.AddMonths(3)).Corrected!.Value.TotalMonths.ShouldBe(1, Day.Iso(born));
        }
    }

    [Fact]
    public void Of_WhenExampleE11IsFollowed_Gives12Weeks()
    {
        // A parent's account, low authority: 27 weeks 1 day, due 14 July, 24 weeks 6 days old, 12 weeks. The year is not stated;
        // the due date and the gestation fix the birth at 15 April.
        var born = Day.Of("2021-04-15");
        var ages = Ages(born, 27, 1, born.AddDays(24 * 7 + 6));

        ages.ExpectedOn.ShouldBe(Day.Of("2021-07-14"));
        ages.Corrected!.Value.TotalDays.ShouldBe(12 * 7);
    }

    // Derived here, not published: comparison vectors, calendar convention.
    [Theory]
    [InlineData("2001-03-19", 30, 0, "2001-06-11", "2001-05-28", 14, 0, 0, 14, "42+0")]
    [InlineData("2020-01-01", 28, 0, "2022-01-01", "2020-03-25", 647, 1, 9, 7, "132+3")]
    [InlineData("2021-04-15", 27, 1, "2021-10-06", "2021-07-14", 84, 0, 2, 22, "52+0")]
    [InlineData("2024-02-29", 32, 0, "2025-02-28", "2024-04-25", 309, 0, 10, 3, "84+1")]
    [InlineData("2023-07-01", 35, 5, "2024-01-31", "2023-07-31", 184, 0, 6, 0, "66+2")]
    [InlineData("2023-08-31", 34, 3, "2024-05-01", "2023-10-09", 205, 0, 6, 22, "69+2")]
    [InlineData("2022-06-15", 24, 0, "2024-06-15", "2022-10-05", 619, 1, 8, 10, "128+3")]
    public void Of_WhenDerivedVectorIsFollowed_AgreesInEveryColumn(
        string bornOn,
        int weeks,
        int days,
        string on,
        string expectedOn,
        int correctedDays,
        int years,
        int months,
        int restDays,
        string postmenstrual
    )
    {
        var ages = Ages(Day.Of(bornOn), weeks, days, Day.Of(on));

        ages.ExpectedOn.ShouldBe(Day.Of(expectedOn));
        ages.Corrected.ShouldBe(new CalendarAge(years, months, restDays, correctedDays));
        ages.Postmenstrual!.Value.ToString().ShouldBe(postmenstrual);
    }

    [Fact]
    public void Of_WhenDerivedVectorLiesBeforeTerm_ShowsPostmenstrualAgeOnly()
    {
        // Derived here, not published: 14 days before the expected date.
        var ages = Ages(Day.Of("2023-01-01"), 30, 0, Day.Of("2023-02-26"));

        ages.ExpectedOn.ShouldBe(Day.Of("2023-03-12"));
        (ages.On.DayNumber - ages.ExpectedOn!.Value.DayNumber).ShouldBe(-14);
        ages.Corrected.ShouldBeNull();
        ages.Postmenstrual!.Value.ToString().ShouldBe("38+0");
        ages.Cautions.ShouldBe([AgeCaution.BeforeExpectedDate]);
    }

    private static ChildAges Ages(DateOnly born, int weeks, int days, DateOnly on) =>
        ChildAges.Of(Births.Of(born, weeks, days), on, ReviewPolicy.Default);
}
