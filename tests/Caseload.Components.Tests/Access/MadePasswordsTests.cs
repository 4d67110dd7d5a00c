using Caseload.Web.Platform.Access;

namespace Caseload.Components.Tests.Access;

[Trait("Requirement", "SEC-09")]
public sealed class MadePasswordsTests
{
    [Fact]
    public void Words_Always_AreDifferentPlainAndEnough()
    {
        MadePasswords.Words.Count.ShouldBeGreaterThanOrEqualTo(512);
        MadePasswords.Words.ShouldBeUnique();
        MadePasswords.Words.ShouldBe(MadePasswords.Words.Order(StringComparer.Ordinal));
        MadePasswords.Words.ShouldAllBe(word => word.Length >= 3 && word.Length <= 10 && word.All(char.IsAsciiLetterLower));
    }

    [Fact]
    public void Bits_OfOnePassword_Are64AndMore()
    {
        // The words are different, so each leaves one less to choose from; digits are free.
        var bits =
            Enumerable.Range(0, MadePasswords.WordCount).Sum(i => Math.Log2(MadePasswords.Words.Count - i))
            + MadePasswords.DigitCount * Math.Log2(10);

        bits.ShouldBeGreaterThanOrEqualTo(64);
        bits.ShouldBe(64.9, tolerance: 0.05);
    }

    [Fact]
    public void Password_WhenMade_HasItsFormAndPassesTheRules()
    {
        string?[] about = ["Wilhelmina Oderbrück", "w.oderbruck@brookside-eit.example", "Brookside Early Team"];

        for (var i = 0; i < 1_000; i++)
        {
            var password = MadePasswords.New();
            var parts = password.Split('-');

            parts.Length.ShouldBe(6);
            parts[..5].ShouldBeUnique();
            parts[..5].ShouldBeSubsetOf(MadePasswords.Words);
            parts[5].ShouldAllBe(sign => char.IsAsciiDigit(sign));
            parts[5].Length.ShouldBe(6);
            PasswordRules.Check(password, about).ShouldBeEmpty();
        }
    }

    [Fact]
    public void Passwords_WhenManyAreMade_UseTheWholeListAndNeverRepeat()
    {
        var made = Enumerable.Range(0, 3_000).Select(_ => MadePasswords.New()).ToList();

        made.ShouldBeUnique();
        // 15,000 words; that one of 512 is missing happens by chance in fewer than one of 10^9 runs.
        made.SelectMany(password => password.Split('-')[..5]).Distinct().Count().ShouldBe(MadePasswords.Words.Count);
    }
}
