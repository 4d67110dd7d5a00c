using System.Globalization;
using System.Text.RegularExpressions;

namespace Caseload.Domain.Ages;

/// <summary>How long the pregnancy lasted when the child was born, in completed weeks and further days.</summary>
/// <remarks>
/// Counted from the first day of the last menstrual period to the day of birth; "31+4" is 31 completed weeks and 4 days
/// (AAP Committee on Fetus and Newborn, Pediatrics 2004;114:1362). Accepted from 20w0d through 44w6d.
/// </remarks>
public readonly partial record struct GestationalAge
{
    /// <summary>The shortest gestation accepted, in days (20w0d).</summary>
    public const int MinimumDays = 140;

    /// <summary>The longest gestation accepted, in days (44w6d).</summary>
    public const int MaximumDays = 314;

    /// <summary>The length of a pregnancy that reaches its expected date, in days (40w0d).</summary>
    public const int TermDays = 280;

    /// <summary>From here on a birth counts as term, in days (37w0d).</summary>
    public const int TermBirthDays = 259;

    private const string Field = "gestation";

    private GestationalAge(int totalDays) => TotalDays = totalDays;

    /// <summary>The whole length in days.</summary>
    public int TotalDays { get; }

    /// <summary>Completed weeks.</summary>
    public int Weeks => TotalDays / 7;

    /// <summary>Days beyond the completed weeks, 0 through 6.</summary>
    public int Days => TotalDays % 7;

    /// <summary>Checks weeks and days as entered.</summary>
    public static Checked<GestationalAge> Create(int weeks, int days)
    {
        if (days is < 0 or > 6)
        {
            return Checked.Refuse<GestationalAge>(
                Field,
                $"Days beyond the completed weeks run from 0 to 6; {days} was entered. Seven days are one more week."
            );
        }
        return weeks is < 0 or > 99 ? OutOfRange($"{weeks} weeks") : FromDays(weeks * 7 + days);
    }

    /// <summary>Checks a gestation given in days.</summary>
    public static Checked<GestationalAge> FromDays(int totalDays) =>
        totalDays is < MinimumDays or > MaximumDays ? OutOfRange(Describe(totalDays)) : Checked.Accept(new GestationalAge(totalDays));

    /// <summary>Reads "31+4", "31w4d", "31w4", "31w" or "31"; anything else is refused with the accepted forms.</summary>
    public static Checked<GestationalAge> Parse(string text)
    {
        var match = WeeksAndDaysForm().Match(text.Trim());
        return match.Success
            ? Create(
                int.Parse(match.Groups["weeks"].ValueSpan, CultureInfo.InvariantCulture),
                match.Groups["days"].Success ? int.Parse(match.Groups["days"].ValueSpan, CultureInfo.InvariantCulture) : 0
            )
            : Checked.Refuse<GestationalAge>(Field, $"\"{text}\" is not a gestation. Write completed weeks and days, for example 31+4.");
    }

    /// <summary>Weeks and days as clinicians write them, for example <c>31+4</c>.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Weeks}+{Days}");

    private static Checked<GestationalAge> OutOfRange(string given) =>
        Checked.Refuse<GestationalAge>(
            Field,
            $"Gestation must lie between 20+0 and 44+6 weeks; {given} was given. Check the completed weeks, or leave it empty if it is not known."
        );

    private static string Describe(int totalDays) =>
        totalDays < 0
            ? string.Create(CultureInfo.InvariantCulture, $"{totalDays} days")
            : string.Create(CultureInfo.InvariantCulture, $"{totalDays / 7}+{totalDays % 7}");

    [GeneratedRegex(
        "^(?<weeks>[0-9]{1,3})(w|[+](?<days>[0-9]{1,2})|w(?<days>[0-9]{1,2})d?)?$",
        RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase | RegexOptions.CultureInvariant,
        1000
    )]
    private static partial Regex WeeksAndDaysForm();
}
