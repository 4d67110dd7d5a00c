using Caseload.Web.Platform.Access;

namespace Caseload.Integration.Tests.Account;

public sealed class SignInAddressTests
{
    [Theory]
    [InlineData("/")]
    [InlineData("/children")]
    [InlineData("/visits/new?child=0190b3b0-0000-7000-8000-000000000000")]
    [InlineData("/account#sign-ins")]
    public void Local_WithAPageOfOurs_IsThatPage(string asked) => SignInAddress.Local(asked).ShouldBe(asked);

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("children")]
    [InlineData("//evil.example")]
    [InlineData("///evil.example")]
    [InlineData("/\\evil.example")]
    [InlineData("\\\\evil.example")]
    [InlineData("/children\\..\\..")]
    [InlineData("https://evil.example/")]
    [InlineData("https:evil.example")]
    [InlineData("javascript:alert(1)")]
    [InlineData(" /children")]
    [InlineData("/\t/evil.example")]
    [InlineData("/\n/evil.example")]
    [InlineData("/children\r\nSet-Cookie: a=b")]
    [InlineData("/\0")]
    public void Local_WithAnythingElse_IsTheFirstPage(string? asked) => SignInAddress.Local(asked).ShouldBe("/");

    [Fact]
    public void Local_WithAVeryLongAddress_IsTheFirstPage() => SignInAddress.Local("/" + new string('a', 300)).ShouldBe("/");
}
