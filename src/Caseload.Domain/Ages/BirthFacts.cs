using System.Globalization;

namespace Caseload.Domain.Ages;

/// <summary>What is known about a child's birth: the date, and how early or late it came.</summary>
public sealed record BirthFacts
{
    private BirthFacts(DateOnly bornOn, GestationalAge? gestation)
    {
        BornOn = bornOn;
        Gestation = gestation;
    }

    /// <summary>The date of birth.</summary>
    public DateOnly BornOn { get; }

    /// <summary>Gestation at birth, or null when it is not known.</summary>
    public GestationalAge? Gestation { get; }

    /// <summary>The expected date: birth + (280 − gestation) days; null when gestation is not known.</summary>
    /// <remarks>280 days from the last menstrual period: ACOG Committee Opinion 700. It lies before the birth of a child born after 40+0.</remarks>
    public DateOnly? ExpectedOn => Gestation is { } gestation ? BornOn.AddDays(GestationalAge.TermDays - gestation.TotalDays) : null;

    /// <summary>Whether ages are counted from the expected date instead of the birth date.</summary>
    /// <remarks>
    /// True when born before the policy's limit (37+0 unless changed: "more than three weeks early", and WHO's cut for preterm).
    /// Never true from 40+0 on, whatever the policy: a naive subtraction would make such a child older than its birthday.
    /// </remarks>
    public bool IsCorrected(int correctBelowDays) =>
        Gestation is { } gestation && gestation.TotalDays < Math.Min(correctBelowDays, GestationalAge.TermDays);

    /// <summary>The day from which ages in months are counted: the expected date when corrected, else the birth date.</summary>
    public DateOnly AnchorOn(int correctBelowDays) => IsCorrected(correctBelowDays) ? ExpectedOn!.Value : BornOn;

    /// <summary>Checks birth date, gestation and expected date against each other and against today.</summary>
    /// <param name="bornOn">The birth date.</param>
    /// <param name="gestation">Gestation in weeks and days, when known.</param>
    /// <param name="expectedOn">The expected date, when that is what the papers give; gestation is derived from it.</param>
    /// <param name="todayOn">The day of entry; a later birth is refused.</param>
    public static Checked<BirthFacts> Create(DateOnly bornOn, GestationalAge? gestation, DateOnly? expectedOn, DateOnly todayOn)
    {
        if (bornOn > todayOn)
        {
            return Checked.Refuse<BirthFacts>(
                "born",
                $"The birth date {Iso(bornOn)} lies after {Iso(todayOn)}. Enter a date that has passed."
            );
        }
        if (bornOn < todayOn.AddYears(-10))
        {
            return Checked.Refuse<BirthFacts>(
                "born",
                $"The birth date {Iso(bornOn)} is more than ten years before {Iso(todayOn)}. Check the year."
            );
        }
        if (expectedOn is not { } expected)
        {
            return Checked.Accept(new BirthFacts(bornOn, gestation));
        }

        var derived = GestationalAge.FromDays(GestationalAge.TermDays - (expected.DayNumber - bornOn.DayNumber));
        if (!derived.IsAccepted)
        {
            return Checked.Refuse<BirthFacts>(
                "expected",
                $"The expected date {Iso(expected)} and the birth date {Iso(bornOn)} are {Math.Abs(expected.DayNumber - bornOn.DayNumber)} days apart, "
                    + "which no gestation between 20+0 and 44+6 weeks allows. Check both dates."
            );
        }
        if (gestation is { } given && given != derived.Value)
        {
            return Checked.Refuse<BirthFacts>(
                "expected",
                $"The expected date {Iso(expected)} means {derived.Value} weeks at birth, but the gestation says {given}. Correct one, or leave one empty."
            );
        }
        return Checked.Accept(new BirthFacts(bornOn, derived.Value));
    }

    /// <summary>Rebuilds facts that were checked when they were entered, for example from storage.</summary>
    public static BirthFacts Restore(DateOnly bornOn, int? gestationDays) =>
        new(bornOn, gestationDays is { } days ? GestationalAge.FromDays(days).Value : null);

    private static string Iso(DateOnly on) => on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
