using Caseload.Web.Platform.Access;
using CsCheck;

namespace Caseload.Components.Tests.Access;

public sealed class PaperCodeTests
{
    private static readonly PaperCode _form = new(Groups: 2, CharactersPerGroup: 4);

    [Fact]
    public void Alphabet_Always_CarriesFiveBitsWithoutLookAlikes()
    {
        PaperCode.Alphabet.ToHashSet().Count.ShouldBe(32);
        PaperCode.Alphabet.ShouldNotContain('O');
        PaperCode.Alphabet.ShouldNotContain('I');
        PaperCode.Alphabet.ShouldNotContain('L');
    }

    [Fact]
    public void Code_WhenNew_IsGroupedAndEveryCharacterOccurs()
    {
        var codes = Enumerable.Range(0, 200).Select(_ => _form.New()).ToList();

        codes.ShouldAllBe(code => code.Length == 9 && code[4] == '-' && _form.Normalise(code) == code.Replace("-", ""));
        // 1,600 characters; that one of 32 is missing happens by chance in fewer than one of 10^20 runs.
        codes.SelectMany(code => code).Where(sign => sign != '-').ToHashSet().Count.ShouldBe(32);
    }

    [Theory]
    [InlineData("7KQ2-M0X1", "7KQ2M0X1")]
    [InlineData("7kq2-m0x1", "7KQ2M0X1")]
    [InlineData("7kq2m0x1", "7KQ2M0X1")]
    [InlineData("  7kq2 m0x1\t", "7KQ2M0X1")]
    [InlineData("7-k-q-2-m-0-x-1", "7KQ2M0X1")]
    [InlineData("7kq2\u2013m0x1", "7KQ2M0X1")] // en dash
    [InlineData("7kq2\u2212m0x1", "7KQ2M0X1")] // minus
    [InlineData("7kq2\u00ADm0x1", "7KQ2M0X1")] // soft hyphen
    [InlineData("\u200B7kq2\u00A0m0x1", "7KQ2M0X1")] // zero-width and hard spaces
    [InlineData("7KQ2-MOXI", "7KQ2M0X1")]
    [InlineData("7kq2-moxl", "7KQ2M0X1")]
    public void Code_WhenTypedInAnyWay_IsOne(string typed, string code) => _form.Normalise(typed).ShouldBe(code);

    [Theory]
    [InlineData("")]
    [InlineData("7KQ2-M0X")]
    [InlineData("7KQ2-M0X12")]
    [InlineData("7KQ2-M0XU")]
    [InlineData("7KQ2-M0X!")]
    [InlineData("7KQ2_M0X1")]
    [InlineData("7KQ2-M0Xı")]
    [InlineData("７KQ2-M0X1")]
    public void Code_WhenItCannotBeOne_IsNone(string typed) => _form.Normalise(typed).ShouldBeNull();

    [Fact]
    public void Normalise_WhateverIsTyped_GivesACodeOrNothing() =>
        Gen.String[Gen.Char, 0, 20]
            .Sample(typed => _form.Normalise(typed) is not { } code || (code.Length == 8 && code.All(PaperCode.Alphabet.Contains)));
}
