using PdfSharp.Drawing;
using PdfSharp.Fonts;

namespace Caseload.Web.Platform.Paper;

/// <summary>The letters of everything that is made for paper. They come with the program, so that a page looks the same on every machine.</summary>
/// <remarks>DejaVu Sans Condensed holds Latin, Greek, Cyrillic, Hebrew and Arabic letters; its licence stands beside it.</remarks>
public sealed class PaperFonts : IFontResolver
{
    private const string Family = "Caseload paper";
    private const string Regular = "DejaVuSansCondensed.ttf";
    private const string Bold = "DejaVuSansCondensed-Bold.ttf";

    private static readonly Lock _setting = new();

    private PaperFonts() { }

    /// <summary>A font.</summary>
    /// <param name="size">Its size in points.</param>
    /// <param name="isBold">Whether it is bold.</param>
    public static XFont Of(double size, bool isBold)
    {
        lock (_setting)
        {
            GlobalFontSettings.FontResolver ??= new PaperFonts();
        }
        return new XFont(Family, size, isBold ? XFontStyleEx.Bold : XFontStyleEx.Regular);
    }

    /// <inheritdoc />
    public FontResolverInfo? ResolveTypeface(string familyName, bool bold, bool italic) =>
        familyName == Family ? new FontResolverInfo(bold ? Bold : Regular) : null;

    /// <inheritdoc />
    public byte[] GetFont(string faceName)
    {
        using var stream = typeof(PaperFonts).Assembly.GetManifestResourceStream("Caseload.Paper." + faceName)!;
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }
}
