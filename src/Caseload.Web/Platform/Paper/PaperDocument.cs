using System.Globalization;
using PdfSharp;
using PdfSharp.Drawing;
using PdfSharp.Pdf;

namespace Caseload.Web.Platform.Paper;

/// <summary>What is the same on every page.</summary>
/// <param name="Title">The document's title.</param>
/// <param name="Author">Whose document it is: the programme.</param>
/// <param name="Language">Its language, as a BCP 47 tag.</param>
/// <param name="Left">What stands at the foot on the left, before "page x of y".</param>
/// <param name="Caution">What the reader must know, on every page.</param>
/// <param name="PageOf">"Page {0} of {1}" in the document's language.</param>
public sealed record PaperFrame(
    string Title,
    string Author,
    string Language,
    string Left,
    string Caution,
    string PageOf = "Page {0} of {1}"
);

/// <summary>How large the sheet is.</summary>
/// <param name="Size">The sheet.</param>
/// <param name="IsLandscape">Whether its long side lies below.</param>
public sealed record PaperSheet(PageSize Size, bool IsLandscape)
{
    /// <summary>The sheet that offices of a time zone use: Letter in the Americas, A4 elsewhere. Common practice, no source.</summary>
    public static PaperSheet Of(TimeZoneInfo zone, bool isLandscape) =>
        new(zone.Id.StartsWith("America/", StringComparison.Ordinal) ? PageSize.Letter : PageSize.A4, isLandscape);
}

/// <summary>A column of a table on paper.</summary>
/// <param name="Header">Its header.</param>
/// <param name="Share">Its share of the width, in the measure of the other columns.</param>
/// <param name="Cell">What stands in it.</param>
public sealed record PaperColumn<T>(string Header, double Share, Func<T, PaperText> Cell);

/// <summary>A number, or a word, with what it says.</summary>
/// <param name="Value">The number.</param>
/// <param name="Label">What it counts.</param>
/// <param name="Swatch">The colour it has in a picture beside it; null for none.</param>
public sealed record PaperFact(string Value, string Label, XColor? Swatch);

/// <summary>Pages that fill from the top, with a foot on each. Units are points.</summary>
public sealed class PaperDocument : IDisposable
{
    private const double Margin = 36;
    private const double FootHeight = 34;
    private const double CellPadding = 3;

    /// <summary>A row up to this share of a page is kept whole.</summary>
    private const double TallestWhole = 0.3;

    /// <summary>Fewer lines of a parted row than this are not left at the foot of a page.</summary>
    private const int FewestLines = 5;

    private readonly PdfDocument _document = new();
    private readonly PaperSheet _sheet;
    private readonly PaperFrame _frame;
    private readonly Dictionary<(double Size, bool IsBold), PaperFont> _fonts = [];
    private readonly XGraphics _measuring = XGraphics.CreateMeasureContext(
        new XSize(2000, 2000),
        XGraphicsUnit.Point,
        XPageDirection.Downwards
    );
    private XGraphics _page = default!;
    private double _bottom;

    /// <summary>Opens the first page.</summary>
    public PaperDocument(PaperSheet sheet, PaperFrame frame)
    {
        _sheet = sheet;
        _frame = frame;
        _document.Info.Title = frame.Title;
        _document.Info.Author = frame.Author;
        _document.Info.Creator = "Caseload";
        _document.Language = frame.Language;
        Turn();
    }

    /// <summary>Width between the margins.</summary>
    public double Width { get; private set; }

    /// <summary>How far down the page is filled.</summary>
    public double Y { get; private set; }

    /// <summary>Height that is left on this page; that of a whole page when hardly any is.</summary>
    public double RoomOnPage => _bottom - Y > 120 ? _bottom - Y : _bottom - Margin;

    /// <summary>Leaves some space, unless a page has just begun.</summary>
    public void Space(double height) => Y = Y > Margin ? Y + height : Y;

    /// <summary>Begins a new page unless so much is left on this one.</summary>
    public void Keep(double height)
    {
        if (Y + height > _bottom)
        {
            Turn();
        }
    }

    /// <summary>A heading, which is never the last line of a page.</summary>
    public void Heading(string text, int level)
    {
        var size = level switch
        {
            1 => 18.0,
            2 => 13.5,
            _ => 10.0,
        };
        Space(level == 1 ? 0 : 10);
        Keep(size * 1.28 + 40);
        Write(new PaperText(text, PaperTone.Plain, IsBold: true), size, 0, Width);
        Y += level == 1 ? 2 : 4;
    }

    /// <summary>A paragraph.</summary>
    /// <param name="text">The text.</param>
    /// <param name="size">Size of its letters.</param>
    /// <param name="indent">How far it stands from the left margin.</param>
    public void Paragraph(PaperText text, double size = 9, double indent = 0)
    {
        Write(text, size, indent, Width - indent);
        Y += size * 0.35;
    }

    /// <summary>Paragraphs with a dot before each.</summary>
    public void Bullets(IEnumerable<PaperText> texts, double size = 9)
    {
        foreach (var text in texts)
        {
            Keep(FontOf(size, false).LineHeight);
            _page.DrawEllipse(new XSolidBrush(PaperColours.Ink), Margin + 3, Y + size * 0.5, size * 0.3, size * 0.3);
            Paragraph(text, size, 12);
        }
    }

    /// <summary>Facts in a grid: the number above what it counts.</summary>
    /// <param name="facts">The facts.</param>
    /// <param name="inARow">How many stand side by side.</param>
    public void Facts(IReadOnlyList<PaperFact> facts, int inARow)
    {
        var (large, small) = (FontOf(9.5, true), FontOf(7.6, false));
        var width = Width / inARow;
        foreach (var row in facts.Chunk(inARow))
        {
            var labels = row.Select(fact => small.Break(fact.Label, width - 8)).ToList();
            var height = large.LineHeight + labels.Max(lines => lines.Count) * small.LineHeight + 5;
            Keep(height);
            for (var index = 0; index < row.Length; index++)
            {
                var x = Margin + index * width;
                if (row[index].Swatch is { } colour)
                {
                    _page.DrawRectangle(new XPen(PaperColours.Line, 0.5), new XSolidBrush(colour), x, Y + 3, 7, 7);
                    x += 11;
                }
                DrawLines(new BrokenCell([row[index].Value], PaperTone.Plain, IsBold: true), 9.5, x, Y);
                DrawLines(new BrokenCell(labels[index], PaperTone.Quiet, IsBold: false), 7.6, x, Y + large.LineHeight);
            }
            Y += height;
        }
    }

    /// <summary>A drawing of a given height, across the whole width; it is given its page and its upper left corner.</summary>
    public void Draw(double height, Action<XGraphics, double, double> draw)
    {
        Keep(height);
        draw(_page, Margin, Y);
        Y += height;
    }

    /// <summary>A table; its header is repeated on each page, and only a tall row is parted, its first line then repeated.</summary>
    public void Table<T>(IReadOnlyList<PaperColumn<T>> columns, IEnumerable<T> rows, double size = 7.6, Action? onRow = null)
    {
        var all = columns.Sum(column => column.Share);
        var widths = columns.Select(column => column.Share / all * Width).ToArray();
        var headers = columns.Select((column, index) => Break(new PaperText(column.Header, IsBold: true), size, widths[index])).ToArray();
        Keep(HeightOf(headers, size) + 3 * FontOf(size, false).LineHeight);
        DrawHeader();
        var isOdd = false;
        foreach (var row in rows)
        {
            var cells = columns.Select((column, index) => Break(column.Cell(row), size, widths[index])).ToArray();
            var isTall = HeightOf(cells, size) > TallestWhole * (_bottom - Margin);
            if (Y + HeightOf(cells, size) > _bottom && (!isTall || LinesLeft() < FewestLines))
            {
                Turn();
                DrawHeader();
            }
            while (Y + HeightOf(cells, size) > _bottom)
            {
                // As many lines as fit, and the rest below the header of the next page.
                var fits = Math.Max(1, LinesLeft());
                DrawRow([.. cells.Select(cell => cell with { Lines = [.. cell.Lines.Take(fits)] })], isOdd);
                var first = cells[0].Lines.Take(1).ToList();
                cells = [.. cells.Select(cell => cell with { Lines = [.. cell.Lines.Skip(fits)] })];
                cells[0] = cells[0].Lines.Count > 0 ? cells[0] : cells[0] with { Lines = first };
                Turn();
                DrawHeader();
            }
            DrawRow(cells, isOdd);
            isOdd = !isOdd;
            onRow?.Invoke();
        }
        _page.DrawLine(new XPen(PaperColours.Line, 0.6), Margin, Y, Margin + Width, Y);
        Y += 4;

        int LinesLeft() => (int)((_bottom - Y - 2 * CellPadding) / FontOf(size, false).LineHeight);

        void DrawHeader()
        {
            DrawRow(headers, isOdd: false);
            _page.DrawLine(new XPen(PaperColours.Teal, 1), Margin, Y, Margin + Width, Y);
        }

        void DrawRow(BrokenCell[] cells, bool isOdd)
        {
            var height = HeightOf(cells, size);
            if (isOdd)
            {
                _page.DrawRectangle(new XSolidBrush(PaperColours.Stripe), Margin, Y, Width, height);
            }
            var x = Margin;
            for (var index = 0; index < cells.Length; index++)
            {
                DrawLines(cells[index], size, x + CellPadding, Y + CellPadding);
                x += widths[index];
            }
            Y += height;
        }
    }

    /// <summary>Numbers the pages and writes the document.</summary>
    public void SaveTo(Stream output)
    {
        _page.Dispose();
        for (var index = 0; index < _document.PageCount; index++)
        {
            using var page = XGraphics.FromPdfPage(_document.Pages[index]);
            DrawFoot(page, index + 1);
        }
        _document.Save(output, closeStream: false);
    }

    /// <inheritdoc />
    public void Dispose()
    {
        _page.Dispose();
        _measuring.Dispose();
        _document.Dispose();
    }

    private void Turn()
    {
        _page?.Dispose();
        var page = _document.AddPage();
        page.Size = _sheet.Size;
        page.Orientation = _sheet.IsLandscape ? PageOrientation.Landscape : PageOrientation.Portrait;
        Width = page.Width.Point - 2 * Margin;
        _bottom = page.Height.Point - Margin - FootHeight;
        _page = XGraphics.FromPdfPage(page);
        Y = Margin;
    }

    private void DrawFoot(XGraphics page, int number)
    {
        var font = FontOf(7, false);
        var top = _bottom + 10;
        page.DrawLine(new XPen(PaperColours.Line, 0.6), Margin, top, Margin + Width, top);
        var count = string.Format(CultureInfo.InvariantCulture, _frame.PageOf, number, _document.PageCount);
        var quiet = new XSolidBrush(PaperColours.Quiet);
        page.DrawString(VisualOrder.Of(_frame.Left), font.Font, quiet, Margin, top + 4 + font.Ascent);
        page.DrawString(count, font.Font, quiet, Margin + Width - font.WidthOf(count), top + 4 + font.Ascent);
        var y = top + 4 + font.LineHeight;
        foreach (var line in font.Break(_frame.Caution, Width).Take(2))
        {
            page.DrawString(line, font.Font, quiet, Margin, y + font.Ascent);
            y += font.LineHeight;
        }
    }

    private void Write(PaperText text, double size, double indent, double width)
    {
        var font = FontOf(size, text.IsBold);
        foreach (var line in font.Break(text.Text, width))
        {
            Keep(font.LineHeight);
            DrawLines(new BrokenCell([line], text.Tone, text.IsBold), size, Margin + indent, Y);
            Y += font.LineHeight;
        }
    }

    private BrokenCell Break(PaperText text, double size, double width) =>
        new(
            string.IsNullOrEmpty(text.Text) ? [] : FontOf(size, text.IsBold).Break(text.Text, width - 2 * CellPadding),
            text.Tone,
            text.IsBold
        );

    private double HeightOf(BrokenCell[] cells, double size) =>
        Math.Max(1, cells.Max(cell => cell.Lines.Count)) * FontOf(size, false).LineHeight + 2 * CellPadding;

    private void DrawLines(BrokenCell cell, double size, double x, double y)
    {
        var font = FontOf(size, cell.IsBold);
        var brush = new XSolidBrush(PaperColours.Of(cell.Tone));
        foreach (var line in cell.Lines)
        {
            if (line.Length > 0)
            {
                _page.DrawString(VisualOrder.Of(line), font.Font, brush, x, y + font.Ascent);
            }
            y += font.LineHeight;
        }
    }

    private PaperFont FontOf(double size, bool isBold)
    {
        if (!_fonts.TryGetValue((size, isBold), out var font))
        {
            font = new PaperFont(_measuring, size, isBold);
            _fonts[(size, isBold)] = font;
        }
        return font;
    }

    private sealed record BrokenCell(List<string> Lines, PaperTone Tone, bool IsBold);
}
