using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Ages;

namespace Caseload.Web.Features.Children;

/// <summary>How the person gives the length of the pregnancy.</summary>
public enum GestationEntry
{
    /// <summary>Completed weeks and days.</summary>
    Weeks,

    /// <summary>The expected date.</summary>
    Expected,

    /// <summary>It is not known.</summary>
    Unknown,
}

/// <summary>A child as it stands in the form; texts stay as they were typed until they are checked.</summary>
public sealed class ChildForm
{
    /// <summary>Given name.</summary>
    public string GivenName { get; set; } = "";

    /// <summary>Family name.</summary>
    public string FamilyName { get; set; } = "";

    /// <summary>Birth date.</summary>
    public DateOnly? BornOn { get; set; }

    /// <summary>How the length of the pregnancy is given.</summary>
    public GestationEntry Entry { get; set; } = GestationEntry.Weeks;

    /// <summary>Completed weeks as typed.</summary>
    public string Weeks { get; set; } = "";

    /// <summary>Further days as typed.</summary>
    public string Days { get; set; } = "";

    /// <summary>The expected date.</summary>
    public DateOnly? ExpectedOn { get; set; }

    /// <summary>The day the programme took the child on.</summary>
    public DateOnly? EnrolledOn { get; set; }

    /// <summary>Who is responsible.</summary>
    public Guid? ClinicianId { get; set; }

    /// <summary>What decides who can see the child, and how often.</summary>
    public CareForm Care { get; set; } = new();

    /// <summary>A note for colleagues.</summary>
    public string Note { get; set; } = "";

    /// <summary>Reads the birth facts, or says at which field they cannot be read.</summary>
    public Checked<BirthFacts> ReadBirth(DateOnly todayOn)
    {
        if (BornOn is not { } bornOn)
        {
            return Checked.Refuse<BirthFacts>("born", "Enter the birth date.");
        }
        // The date is checked by itself first: it can be wrong before anything else is entered.
        var byDateAlone = BirthFacts.Create(bornOn, null, null, todayOn);
        if (!byDateAlone.IsAccepted)
        {
            return byDateAlone;
        }
        switch (Entry)
        {
            case GestationEntry.Unknown:
                return byDateAlone;
            case GestationEntry.Expected:
                return ExpectedOn is { } expectedOn
                    ? BirthFacts.Create(bornOn, null, expectedOn, todayOn)
                    : Checked.Refuse<BirthFacts>("expected", "Enter the expected date, or choose another way to give the gestation.");
            case GestationEntry.Weeks:
                if (string.IsNullOrWhiteSpace(Weeks))
                {
                    return Checked.Refuse<BirthFacts>("gestation", "Enter the completed weeks, or choose \"not known\".");
                }
                var gestation = GestationalAge.Parse(Weeks.Trim() + "+" + (string.IsNullOrWhiteSpace(Days) ? "0" : Days.Trim()));
                return gestation.IsAccepted
                    ? BirthFacts.Create(bornOn, gestation.Value, null, todayOn)
                    : Checked.Refuse<BirthFacts>(gestation.Refusals);
            default:
                throw new InvalidOperationException("Unknown entry.");
        }
    }

    /// <summary>The form of a child that is stored.</summary>
    public static ChildForm Of(Data.Children.Child child) =>
        new()
        {
            GivenName = child.GivenName,
            FamilyName = child.FamilyName,
            BornOn = child.BornOn,
            Entry = child.GestationDays is null ? GestationEntry.Unknown : GestationEntry.Weeks,
            Weeks = child.GestationDays is { } days ? (days / 7).ToString(CultureInfo.InvariantCulture) : "",
            Days = child.GestationDays is { } rest ? (rest % 7).ToString(CultureInfo.InvariantCulture) : "",
            EnrolledOn = child.EnrolledOn,
            ClinicianId = child.ClinicianId,
            Care = CareForm.Of(child),
            Note = child.Note ?? "",
        };
}
