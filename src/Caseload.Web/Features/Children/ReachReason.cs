using Caseload.Data;
using Caseload.Domain;

namespace Caseload.Web.Features.Children;

/// <summary>What counts as a reason for opening a child outside the own reach.</summary>
public static class ReachReason
{
    /// <summary>The field it is entered in.</summary>
    public const string Field = "reach-reason";

    private const int ShortestLength = 10;

    private static readonly HashSet<string> _fillers = new(StringComparer.OrdinalIgnoreCase)
    {
        "test",
        "testing",
        "tests",
        "asdf",
        "asdfgh",
        "qwerty",
        "abc",
        "abcd",
        "blah",
        "bla",
        "foo",
        "bar",
        "none",
        "nothing",
        "reason",
        "because",
        "just",
        "na",
        "todo",
        "dummy",
        "lorem",
        "ipsum",
    };

    /// <summary>The reason without spaces around it, or what to do about it.</summary>
    public static Checked<string> Check(string text)
    {
        var reason = text.Trim();
        if (reason.Length is < ShortestLength or > TextLimits.Line)
        {
            return Checked.Refuse<string>(Field, $"Give a reason of {ShortestLength} to {TextLimits.Line} characters.");
        }
        if (reason.Any(char.IsControl))
        {
            return Checked.Refuse<string>(Field, "Give the reason in one line.");
        }
        // Two different words that are more than a key held down or something to fill the field.
        var words = reason
            .Split(' ', StringSplitOptions.RemoveEmptyEntries)
            .Select(word => new string([.. word.Where(char.IsLetter)]))
            .Where(word => word.Length > 1 && !_fillers.Contains(word) && word.Distinct().Skip(1).Any())
            .Distinct(StringComparer.OrdinalIgnoreCase);
        return words.Skip(1).Any()
            ? Checked.Accept(reason)
            : Checked.Refuse<string>(
                Field,
                "Say in words why you need this record, for example that a colleague is ill and the visit is today."
            );
    }
}
