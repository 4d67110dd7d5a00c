using Caseload.Web.Platform.Access;

namespace Caseload.Components.Tests.Access;

[Trait("Requirement", "SEC-11")]
public sealed class RecoveryCodesTests
{
    [Fact]
    public void Codes_WhenNew_AreTenOfEightyBits()
    {
        var codes = RecoveryCodes.New();

        codes.Count.ShouldBe(10);
        codes.ShouldBeUnique();
        (RecoveryCodes.Form.Characters * Math.Log2(PaperCode.Alphabet.Length)).ShouldBeGreaterThanOrEqualTo(80);
        codes.ShouldAllBe(code => code.Length == 19 && RecoveryCodes.Form.Normalise(code) != null);
        RecoveryCodes.New().Intersect(codes).ShouldBeEmpty();
    }

    [Fact]
    public void Hash_Always_IsOfTheCodeAsItWasMade()
    {
        // SHA-256 of the ASCII text 0123456789ABCDEF, computed with sha256sum.
        Convert
            .ToHexStringLower(RecoveryCodes.HashOf("0123-4567-89ab-cdef")!)
            .ShouldBe("2125b2c332b1113aae9bfc5e9f7e3b4c91d828cb942c2df1eeb02502eccae9e9");
        RecoveryCodes.HashOf("o1z3").ShouldBeNull();
    }

    [Fact]
    public void Code_WhenStored_IsFoundHoweverItIsTyped()
    {
        var codes = RecoveryCodes.New();
        byte[][] hashes = [.. codes.Select(code => RecoveryCodes.HashOf(code)!)];

        for (var i = 0; i < codes.Count; i++)
        {
            RecoveryCodes.IndexOf(codes[i], hashes).ShouldBe(i);
            RecoveryCodes.IndexOf(codes[i].ToLowerInvariant().Replace('-', ' '), hashes).ShouldBe(i);
        }
    }

    [Fact]
    public void Code_WhenItWasUsed_IsNotFoundAgain()
    {
        var codes = RecoveryCodes.New();
        var hashes = codes.Select(code => RecoveryCodes.HashOf(code)!).ToList();

        hashes.RemoveAt(RecoveryCodes.IndexOf(codes[3], hashes)!.Value);

        RecoveryCodes.IndexOf(codes[3], hashes).ShouldBeNull();
        RecoveryCodes.IndexOf(codes[4], hashes).ShouldBe(3);
    }

    [Theory]
    [InlineData("")]
    [InlineData("0000-0000-0000-0000")]
    [InlineData("0000-0000-0000-000")]
    [InlineData("not a code at all")]
    public void Code_WhenItIsNotStored_IsNotFound(string typed) =>
        RecoveryCodes.IndexOf(typed, [RecoveryCodes.HashOf("0000-0000-0000-0001")!]).ShouldBeNull();
}
