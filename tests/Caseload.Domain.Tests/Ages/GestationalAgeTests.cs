using Caseload.Domain.Ages;

namespace Caseload.Domain.Tests.Ages;

[Trait("Requirement", "SEC-27")]
public sealed class GestationalAgeTests
{
    [Theory]
    [InlineData(20, 0, 140)]
    [InlineData(31, 4, 221)]
    [InlineData(37, 0, 259)]
    [InlineData(40, 0, 280)]
    [InlineData(44, 6, 314)]
    public void Create_WhenWithinRange_KeepsWeeksAndDays(int weeks, int days, int totalDays)
    {
        var gestation = GestationalAge.Create(weeks, days).Value;

        gestation.TotalDays.ShouldBe(totalDays);
        gestation.Weeks.ShouldBe(weeks);
        gestation.Days.ShouldBe(days);
        gestation.ToString().ShouldBe($"{weeks}+{days}");
    }

    [Theory]
    [InlineData(19, 6, "19+6")]
    [InlineData(45, 0, "45+0")]
    [InlineData(0, 0, "0+0")]
    [InlineData(-1, 0, "-1 weeks")]
    [InlineData(100, 0, "100 weeks")]
    [InlineData(int.MaxValue, 6, "2147483647 weeks")]
    public void Create_WhenOutsideRange_NamesRangeAndFix(int weeks, int days, string given)
    {
        var refusal = GestationalAge.Create(weeks, days).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe("gestation");
        refusal.Message.ShouldBe(
            $"Gestation must lie between 20+0 and 44+6 weeks; {given} was given. Check the completed weeks, or leave it empty if it is not known."
        );
    }

    [Theory]
    [InlineData(7)]
    [InlineData(-1)]
    [InlineData(40)]
    public void Create_WhenDaysAreNoPartOfAWeek_SaysSevenDaysAreAWeek(int days)
    {
        var refusal = GestationalAge.Create(31, days).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe("gestation");
        refusal.Message.ShouldBe($"Days beyond the completed weeks run from 0 to 6; {days} was entered. Seven days are one more week.");
    }

    [Theory]
    [InlineData(139)]
    [InlineData(315)]
    [InlineData(-3)]
    public void FromDays_WhenOutsideRange_Refuses(int totalDays) =>
        GestationalAge.FromDays(totalDays).Refusals.ShouldHaveSingleItem().Field.ShouldBe("gestation");

    [Theory]
    [InlineData(140)]
    [InlineData(314)]
    public void FromDays_WhenAtEitherEnd_Accepts(int totalDays) => GestationalAge.FromDays(totalDays).Value.TotalDays.ShouldBe(totalDays);

    [Theory]
    [InlineData("31+4", 221)]
    [InlineData("31w4d", 221)]
    [InlineData("31W4D", 221)]
    [InlineData("31w4", 221)]
    [InlineData(" 31+4 ", 221)]
    [InlineData("31w", 217)]
    [InlineData("31", 217)]
    public void Parse_WhenWrittenInAnAcceptedForm_ReadsIt(string text, int totalDays) =>
        GestationalAge.Parse(text).Value.TotalDays.ShouldBe(totalDays);

    [Theory]
    [InlineData("")]
    [InlineData("   ")]
    [InlineData("thirty")]
    [InlineData("31.4")]
    [InlineData("31,4")]
    [InlineData("31-4")]
    [InlineData("-31")]
    [InlineData("+4")]
    [InlineData("w4d")]
    [InlineData("31+")]
    [InlineData("31++4")]
    [InlineData("31+4+1")]
    [InlineData("31 4")]
    [InlineData("31d")]
    [InlineData("221d")]
    [InlineData("31ww")]
    [InlineData("31w4w")]
    [InlineData("31+4dd")]
    [InlineData("99999999999999")]
    [InlineData("٣١")]
    public void Parse_WhenTextIsAnythingElse_ShowsTheForm(string text)
    {
        var refusal = GestationalAge.Parse(text).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe("gestation");
        refusal.Message.ShouldBe($"\"{text}\" is not a gestation. Write completed weeks and days, for example 31+4.");
    }

    [Theory]
    [InlineData("31+7", "run from 0 to 6")]
    [InlineData("19+6", "between 20+0 and 44+6")]
    [InlineData("45", "between 20+0 and 44+6")]
    public void Parse_WhenWellFormedButImpossible_SaysWhatIsAllowed(string text, string allowed) =>
        GestationalAge.Parse(text).Refusals.ShouldHaveSingleItem().Message.ShouldContain(allowed);
}
