using System.Buffers.Binary;
using Caseload.Web.Platform.Access;
using OtpNet;

namespace Caseload.Components.Tests.Access;

[Trait("Requirement", "SEC-11")]
public sealed class AuthenticatorCodesTests
{
    // The seed of RFC 6238, Appendix B, for SHA-1: the ASCII text 12345678901234567890, here in Base32.
    private const string PublishedSecret = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ";

    private static readonly DateTimeOffset _at = DateTimeOffset.FromUnixTimeSeconds(1111111111);

    // RFC 6238, Appendix B, table of test values, rows of SHA-1. The published codes have eight digits; a code of six is their end,
    // because both are remainders of the same number (RFC 4226, section 5.3).
    public static TheoryData<long, string, long> Published =>
        new()
        {
            { 59, "94287082", 0x1 },
            { 1111111109, "07081804", 0x23523EC },
            { 1111111111, "14050471", 0x23523ED },
            { 1234567890, "89005924", 0x273EF07 },
            { 2000000000, "69279037", 0x3F940AA },
            { 20000000000, "65353130", 0x27BC86AA },
        };

    [Theory]
    [MemberData(nameof(Published))]
    public void Code_WhenPublished_MatchesItsStep(long seconds, string published, long step) =>
        AuthenticatorCodes
            .MatchedStep(PublishedSecret, published[2..], DateTimeOffset.FromUnixTimeSeconds(seconds), lastUsedStep: null)
            .ShouldBe(step);

    [Theory]
    [InlineData(-32, false)]
    [InlineData(-31, true)]
    [InlineData(-1, true)]
    [InlineData(0, true)]
    [InlineData(29, true)]
    [InlineData(58, true)]
    [InlineData(59, false)]
    public void Code_WhenTheClockIsOff_CountsOneStepBeforeAndAfter(int seconds, bool matches)
    {
        // The step of the code runs from 1111111110 through 1111111139.
        var step = AuthenticatorCodes.MatchedStep(PublishedSecret, "050471", _at.AddSeconds(seconds), null);

        step.ShouldBe(matches ? 0x23523ED : null);
    }

    [Theory]
    [InlineData(0x23523EC, true)]
    [InlineData(0x23523ED, false)]
    [InlineData(0x23523EE, false)]
    public void Code_WhenItIsNotNewerThanTheLastUsed_IsRefused(long lastUsedStep, bool matches) =>
        AuthenticatorCodes.MatchedStep(PublishedSecret, "050471", _at, lastUsedStep).HasValue.ShouldBe(matches);

    [Fact]
    public void Code_WhenSentTwice_WorksOnce()
    {
        var first = AuthenticatorCodes.MatchedStep(PublishedSecret, "050471", _at, lastUsedStep: null);

        first.ShouldNotBeNull();
        AuthenticatorCodes.MatchedStep(PublishedSecret, "050471", _at.AddSeconds(20), first).ShouldBeNull();
        AuthenticatorCodes.MatchedStep(PublishedSecret, "081804", _at.AddSeconds(20), first).ShouldBeNull("the code before it");
    }

    [Theory]
    [InlineData("050 471", true)]
    [InlineData(" 050471 ", true)]
    [InlineData("050471", true)]
    [InlineData("050472", false)]
    [InlineData("50471", false)]
    [InlineData("0050471", false)]
    [InlineData("14050471", false)]
    [InlineData("+50471", false)]
    [InlineData("050-471", false)]
    [InlineData("０５０４７１", false)]
    [InlineData("letter", false)]
    [InlineData("", false)]
    public void Code_WhenTyped_IsSixDigitsAndSpaces(string typed, bool matches) =>
        AuthenticatorCodes.MatchedStep(PublishedSecret, typed, _at, null).HasValue.ShouldBe(matches);

    [Fact]
    public void Code_OfAnotherSecret_IsRefused() =>
        AuthenticatorCodes.MatchedStep("GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJR", "050471", _at, null).ShouldBeNull();

    [Fact]
    public void Secret_WhenNew_Has160BitsAndIsAnother()
    {
        var secrets = Enumerable.Range(0, 50).Select(_ => AuthenticatorCodes.NewSecret()).ToList();

        secrets.ShouldBeUnique();
        secrets.ShouldAllBe(secret => secret.Length == 32 && Base32Encoding.ToBytes(secret).Length == 20);
    }

    [Fact]
    public void Address_Always_NamesProductPersonAndForm() =>
        AuthenticatorCodes
            .AddressOf(PublishedSecret, "anna+x@example.org")
            .ShouldBe(
                $"otpauth://totp/Caseload:anna%2Bx%40example.org?secret={PublishedSecret}&issuer=Caseload&algorithm=SHA1&digits=6&period=30"
            );

    [Fact]
    public void Picture_Always_IsASquarePngOfTheWholeCode()
    {
        var address = AuthenticatorCodes.AddressOf(PublishedSecret, "anna@example.org");
        var picture = Png(AuthenticatorCodes.PictureOf(address));

        picture[..8].ShouldBe([0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10]);
        var width = BinaryPrimitives.ReadInt32BigEndian(picture.AsSpan(16));
        width.ShouldBe(BinaryPrimitives.ReadInt32BigEndian(picture.AsSpan(20)));
        // Modules of six pixels, four empty ones around; a code has 17 + 4 × version of them on a side (ISO/IEC 18004, from memory).
        (width % 6).ShouldBe(0);
        ((width / 6 - 8 - 17) % 4).ShouldBe(0);
        Png(AuthenticatorCodes.PictureOf(address)).ShouldBe(picture);
        Png(AuthenticatorCodes.PictureOf(address.Replace("anna", "bert"))).ShouldNotBe(picture);
    }

    private static byte[] Png(string address)
    {
        const string start = "data:image/png;base64,";
        address.ShouldStartWith(start);
        return Convert.FromBase64String(address[start.Length..]);
    }
}
