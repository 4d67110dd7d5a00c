using PdfSharp.Drawing;

namespace Caseload.Web.Platform.Paper;

/// <summary>What a piece of text on paper is meant as.</summary>
public enum PaperTone
{
    /// <summary>Ordinary text.</summary>
    Plain,

    /// <summary>Text of less weight.</summary>
    Quiet,

    /// <summary>Something to look at again.</summary>
    Notice,

    /// <summary>Something to act on.</summary>
    Urgent,
}

/// <summary>Text in one cell of a table, or one paragraph.</summary>
/// <param name="Text">The text; line breaks part its lines.</param>
/// <param name="Tone">What it is meant as.</param>
/// <param name="IsBold">Whether it is bold.</param>
public readonly record struct PaperText(string Text, PaperTone Tone = PaperTone.Plain, bool IsBold = false)
{
    /// <summary>Ordinary text.</summary>
    public static implicit operator PaperText(string text) => new(text);
}

/// <summary>Colours of paper: dark enough to be told apart by a printer that knows only black.</summary>
internal static class PaperColours
{
    internal static readonly XColor Ink = XColor.FromArgb(0x1b, 0x24, 0x26);
    internal static readonly XColor Quiet = XColor.FromArgb(0x4a, 0x57, 0x59);
    internal static readonly XColor Notice = XColor.FromArgb(0x8a, 0x52, 0x00);
    internal static readonly XColor Urgent = XColor.FromArgb(0xa3, 0x21, 0x1b);
    internal static readonly XColor Teal = XColor.FromArgb(0x0b, 0x5d, 0x63);
    internal static readonly XColor Line = XColor.FromArgb(0xc9, 0xc5, 0xba);
    internal static readonly XColor Stripe = XColor.FromArgb(0xf3, 0xf1, 0xeb);

    internal static XColor Of(PaperTone tone) =>
        tone switch
        {
            PaperTone.Plain => Ink,
            PaperTone.Quiet => Quiet,
            PaperTone.Notice => Notice,
            PaperTone.Urgent => Urgent,
            _ => throw new ArgumentOutOfRangeException(nameof(tone)),
        };
}

/// <summary>A font with the width of each of its letters, so that lines are broken without asking the drawing library again and again.</summary>
internal sealed class PaperFont
{
    private readonly Dictionary<int, double> _widths = [];
    private readonly XGraphics _measuring;

    internal PaperFont(XGraphics measuring, double size, bool isBold)
    {
        _measuring = measuring;
        Font = PaperFonts.Of(size, isBold);
        LineHeight = size * 1.28;
        Ascent = size * 0.94;
    }

    internal XFont Font { get; }
    internal double LineHeight { get; }
    internal double Ascent { get; }

    internal double WidthOf(ReadOnlySpan<char> text)
    {
        var width = 0.0;
        foreach (var rune in text.EnumerateRunes())
        {
            if (!_widths.TryGetValue(rune.Value, out var one))
            {
                one = _measuring.MeasureString(rune.ToString(), Font).Width;
                _widths[rune.Value] = one;
            }
            width += one;
        }
        return width;
    }

    /// <summary>Breaks a text into lines of at most a width: at spaces, and within a word that is wider by itself.</summary>
    internal List<string> Break(string text, double width)
    {
        var lines = new List<string>();
        foreach (var paragraph in text.ReplaceLineEndings("\n").Split('\n'))
        {
            var line = "";
            foreach (var word in paragraph.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            {
                var longer = line.Length == 0 ? word : line + " " + word;
                if (WidthOf(longer) <= width)
                {
                    line = longer;
                    continue;
                }
                if (line.Length > 0)
                {
                    lines.Add(line);
                }
                line = BreakWord(word, width, lines);
            }
            lines.Add(line);
        }
        return lines;
    }

    private string BreakWord(string word, double width, List<string> lines)
    {
        while (WidthOf(word) > width && word.Length > 1)
        {
            var fits = word.Length - 1;
            while (fits > 1 && WidthOf(word.AsSpan(0, fits)) > width)
            {
                fits--;
            }
            if (char.IsHighSurrogate(word[fits - 1]))
            {
                fits = fits > 1 ? fits - 1 : fits + 1;
            }
            lines.Add(word[..fits]);
            word = word[fits..];
        }
        return word;
    }
}
