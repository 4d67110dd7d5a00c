using System.Globalization;
using System.Text;

namespace Caseload.Web.Platform.Paper;

/// <summary>
/// Puts a line of text that holds right-to-left letters into the order in which it is drawn, Arabic letters joined. For the short lines of a page
/// that runs from left to right: names within a table.
/// </summary>
/// <remarks>
/// A part of the Unicode bidirectional algorithm (UAX #9) for a left-to-right paragraph without embeddings: a stretch from the first to the last
/// right-to-left letter is turned round, numbers in it keep their order, brackets in it are mirrored. The library that draws pages does neither this
/// nor the joining.
/// </remarks>
public static class VisualOrder
{
    private const char Lam = '\u0644';

    private static readonly Dictionary<char, string> _forms = ReadForms();

    private static readonly Dictionary<char, (char Alone, char Joined)> _lamAlefs = new()
    {
        ['\u0622'] = ('\uFEF5', '\uFEF6'),
        ['\u0623'] = ('\uFEF7', '\uFEF8'),
        ['\u0625'] = ('\uFEF9', '\uFEFA'),
        ['\u0627'] = ('\uFEFB', '\uFEFC'),
    };

    /// <summary>The line as it is drawn; the same text when it holds no right-to-left letter.</summary>
    public static string Of(string line)
    {
        if (!line.Any(IsRightToLeft))
        {
            return line;
        }
        var shaped = Join(line);
        var drawn = new StringBuilder(shaped.Length);
        for (var at = 0; at < shaped.Length; )
        {
            if (!IsRightToLeft(shaped[at]))
            {
                drawn.Append(shaped[at++]);
                continue;
            }
            var end = EndOfStretch(shaped, at);
            drawn.Append(Turn(shaped[at..end]));
            at = end;
        }
        return drawn.ToString();
    }

    private static bool IsRightToLeft(char letter) =>
        letter is (>= '\u0590' and <= '\u08FF') or (>= '\uFB1D' and <= '\uFDFF') or (>= '\uFE70' and <= '\uFEFC')
        && char.GetUnicodeCategory(letter) != UnicodeCategory.DecimalDigitNumber;

    // Up to the last right-to-left letter before a left-to-right one.
    private static int EndOfStretch(string text, int start)
    {
        var end = start + 1;
        for (var at = start + 1; at < text.Length; at++)
        {
            if (IsRightToLeft(text[at]))
            {
                end = at + 1;
            }
            else if (char.IsLetter(text[at]))
            {
                break;
            }
        }
        return end;
    }

    private static string Turn(string stretch)
    {
        var elements = new List<string>();
        var number = new StringBuilder();
        var each = StringInfo.GetTextElementEnumerator(stretch);
        while (each.MoveNext())
        {
            var element = each.GetTextElement();
            if (char.IsDigit(element[0]))
            {
                number.Append(element);
                continue;
            }
            EndNumber();
            elements.Add(Mirror(element));
        }
        EndNumber();
        elements.Reverse();
        return string.Concat(elements);

        void EndNumber()
        {
            if (number.Length > 0)
            {
                elements.Add(number.ToString());
                number.Clear();
            }
        }
    }

    private static string Mirror(string element) =>
        element switch
        {
            "(" => ")",
            ")" => "(",
            "[" => "]",
            "]" => "[",
            _ => element,
        };

    private static string Join(string text)
    {
        var joined = new StringBuilder(text.Length);
        for (var at = 0; at < text.Length; at++)
        {
            var letter = text[at];
            if (letter == Lam && at + 1 < text.Length && _lamAlefs.TryGetValue(text[at + 1], out var pair))
            {
                joined.Append(JoinsOn(text, at) ? pair.Joined : pair.Alone);
                at++;
                continue;
            }
            joined.Append(_forms.TryGetValue(letter, out var forms) ? FormOf(forms, JoinsOn(text, at), JoinedBy(text, at)) : letter);
        }
        return joined.ToString();
    }

    // Forms stand in the order alone, at the end, at the start, in the middle; letters that join on one side only have two.
    private static char FormOf(string forms, bool joinsBefore, bool joinsAfter) =>
        (joinsBefore, joinsAfter && forms.Length == 4) switch
        {
            (false, false) => forms[0],
            (true, false) => forms.Length > 1 ? forms[1] : forms[0],
            (false, true) => forms[2],
            (true, true) => forms[3],
        };

    private static bool JoinsOn(string text, int at) =>
        Neighbour(text, at, -1) is { } before && _forms.TryGetValue(before, out var forms) && forms.Length == 4;

    private static bool JoinedBy(string text, int at) =>
        Neighbour(text, at, +1) is { } after && _forms.TryGetValue(after, out var forms) && forms.Length > 1;

    // Vowel signs stand between letters and do not part them.
    private static char? Neighbour(string text, int at, int step)
    {
        for (var other = at + step; other >= 0 && other < text.Length; other += step)
        {
            if (char.GetUnicodeCategory(text[other]) != UnicodeCategory.NonSpacingMark)
            {
                return text[other];
            }
        }
        return null;
    }

    // The blocks of presentation forms hold each letter's forms side by side; what a form stands for is its compatibility decomposition.
    private static Dictionary<char, string> ReadForms()
    {
        var forms = new Dictionary<char, string>();
        foreach (var (first, last) in new[] { ('\uFB50', '\uFBFF'), ('\uFE80', '\uFEF4') })
        {
            var previous = '\0';
            for (var form = first; form <= last; form++)
            {
                if (form is >= '\uFBB2' and <= '\uFBD2' || form is >= '\uFBE8' and <= '\uFBFB')
                {
                    continue;
                }
                var letter = form.ToString().Normalize(NormalizationForm.FormKC);
                if (letter.Length != 1)
                {
                    continue;
                }
                forms[letter[0]] = letter[0] == previous ? forms[letter[0]] + form : form.ToString();
                previous = letter[0];
            }
        }
        return forms;
    }
}
