using System.Buffers.Text;
using Caseload.Web.Platform.Access;

namespace Caseload.Components.Tests.Access;

public sealed class OneTimeSecretTests
{
    [Fact]
    public void Link_WhenNew_Has256BitsThatNeedNoEscaping()
    {
        var secrets = Enumerable.Range(0, 50).Select(_ => OneTimeSecret.NewLink()).ToList();

        secrets.ShouldBeUnique();
        secrets.ShouldAllBe(secret => Base64Url.DecodeFromChars(secret).Length == 32 && Uri.EscapeDataString(secret) == secret);
    }

    [Fact]
    public void Code_WhenNew_HasAHundredBitsInFourGroups()
    {
        var codes = Enumerable.Range(0, 50).Select(_ => OneTimeSecret.NewCode()).ToList();

        codes.ShouldBeUnique();
        codes.ShouldAllBe(code => code.Split('-', StringSplitOptions.None).All(group => group.Length == 5) && code.Length == 23);
        (OneTimeSecret.Form.Characters * Math.Log2(PaperCode.Alphabet.Length)).ShouldBeGreaterThanOrEqualTo(100);
    }

    [Fact]
    public void Link_WhenFollowed_EqualsWhatWasStored()
    {
        var secret = OneTimeSecret.NewLink();
        var stored = OneTimeSecret.HashOfLink(secret)!;

        stored.Length.ShouldBe(32);
        OneTimeSecret.AreEqual(OneTimeSecret.HashOfLink(secret)!, stored).ShouldBeTrue();
        OneTimeSecret.AreEqual(OneTimeSecret.HashOfLink(OneTimeSecret.NewLink())!, stored).ShouldBeFalse();
    }

    [Fact]
    public void Link_WhenOneBitIsAnother_IsAnother()
    {
        // The last of 43 characters carries four bits only; what it could carry beside them must not pass for the same secret.
        var zeros = new string('A', 43);

        OneTimeSecret.HashOfLink(zeros).ShouldNotBeNull();
        OneTimeSecret.HashOfLink(zeros[..42] + "B").ShouldNotBe(OneTimeSecret.HashOfLink(zeros));
        OneTimeSecret.HashOfLink(zeros[..42] + "E").ShouldNotBe(OneTimeSecret.HashOfLink(zeros));
    }

    [Theory]
    [InlineData("")]
    [InlineData("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")]
    [InlineData("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")]
    [InlineData("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA+A")]
    [InlineData("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA AA")]
    [InlineData("ÄAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")]
    public void Link_WhenItCannotBeOne_HasNoHash(string secret) => OneTimeSecret.HashOfLink(secret).ShouldBeNull();

    [Fact]
    public void Code_WhenTyped_EqualsWhatWasStored()
    {
        var code = OneTimeSecret.NewCode();
        var stored = OneTimeSecret.HashOfCode(code)!;

        OneTimeSecret.AreEqual(OneTimeSecret.HashOfCode(" " + code.ToLowerInvariant().Replace('-', ' '))!, stored).ShouldBeTrue();
        OneTimeSecret.AreEqual(OneTimeSecret.HashOfCode(OneTimeSecret.NewCode())!, stored).ShouldBeFalse();
        OneTimeSecret.HashOfCode(code[..^1]).ShouldBeNull();
    }

    [Fact]
    public void Hash_WhenItHasAnotherLength_IsNotEqual() => OneTimeSecret.AreEqual([1, 2], [1, 2, 3]).ShouldBeFalse();
}
