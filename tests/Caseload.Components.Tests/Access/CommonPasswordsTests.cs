using Caseload.Web.Platform.Access;

namespace Caseload.Components.Tests.Access;

[Trait("Requirement", "SEC-09")]
public sealed class CommonPasswordsTests
{
    [Fact]
    public void List_Always_IsThereInFull()
    {
        CommonPasswords.Count.ShouldBeInRange(40_000, 60_000);
        CommonPasswords.MostCharacters.ShouldBeInRange(15, 40);
    }

    [Theory]
    [InlineData("password", true)]
    [InlineData("123456", true)]
    [InlineData("qwertyuiop", true)]
    [InlineData("p@ssw0rd", true)]
    [InlineData("Password", false)] // the caller puts it in lower case
    [InlineData("12345", false)] // shorter than what is kept
    [InlineData("", false)]
    [InlineData("violet kettle sings", false)]
    public void Contains_WhenAsked_KnowsItsEntries(string text, bool isThere) => CommonPasswords.Contains(text).ShouldBe(isThere);
}
