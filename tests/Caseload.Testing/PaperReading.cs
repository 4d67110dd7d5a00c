using System.Text;
using UglyToad.PdfPig.Content;

namespace Caseload.Testing;

/// <summary>Reading pages.</summary>
public static class PaperReading
{
    /// <summary>The words of a page in the order in which they were drawn, with one space between.</summary>
    public static string Words(this Page page)
    {
        var text = new StringBuilder();
        Letter? before = null;
        foreach (var letter in page.Letters)
        {
            var isApart =
                before is not null
                && (
                    Math.Abs(letter.StartBaseLine.Y - before.StartBaseLine.Y) > 1
                    || letter.StartBaseLine.X - before.EndBaseLine.X > 1
                    || letter.StartBaseLine.X < before.StartBaseLine.X
                );
            if (isApart && text.Length > 0 && text[^1] != ' ')
            {
                text.Append(' ');
            }
            if (letter.Value != " " || (text.Length > 0 && text[^1] != ' '))
            {
                text.Append(letter.Value);
            }
            before = letter;
        }
        return text.Append(' ').ToString();
    }
}
