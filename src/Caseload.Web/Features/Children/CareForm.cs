using System.Globalization;
using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Children;

/// <summary>What decides who can see a child and how often, as it stands in the form.</summary>
public sealed class CareForm
{
    private const int MostVisits = 40;

    /// <summary>The day the family was referred.</summary>
    public DateOnly? ReferredOn { get; set; }

    /// <summary>The travel zone of the home.</summary>
    public string Zone { get; set; } = "";

    /// <summary>The language the family needs, by its English name or as a BCP 47 tag.</summary>
    public string Language { get; set; } = "";

    /// <summary>The discipline the child needs; null when any will do.</summary>
    public Discipline? NeededDiscipline { get; set; }

    /// <summary>Planned visits in four weeks as typed; empty for the programme's usual number.</summary>
    public string Visits { get; set; } = "";

    /// <summary>The form of a child that is stored.</summary>
    public static CareForm Of(Child child) =>
        new()
        {
            ReferredOn = child.ReferredOn,
            Zone = child.Zone ?? "",
            Language = child.Language ?? "",
            NeededDiscipline = child.NeededDiscipline,
            Visits = child.VisitsInFourWeeks?.ToString(CultureInfo.InvariantCulture) ?? "",
        };

    /// <summary>What is wrong, each at its field.</summary>
    public IEnumerable<Refusal> Check(DateOnly? bornOn, DateOnly? enrolledOn)
    {
        if (ReferredOn < bornOn || ReferredOn > enrolledOn)
        {
            yield return new Refusal("referred", "The referral lies between the birth and the day the programme took the child on.");
        }
        if (Zone.Trim().Length > TextLimits.Key)
        {
            yield return new Refusal("zone", $"A zone may have {TextLimits.Key} characters. Shorten it.");
        }
        var languages = LanguageTags.Read(Language, "language");
        foreach (var refusal in languages.Refusals)
        {
            yield return refusal;
        }
        if (languages is { IsAccepted: true, Value.Count: > 1 })
        {
            yield return new Refusal("language", "Enter the one language that visits need.");
        }
        if (Visits.Trim().Length > 0 && ReadVisits() is not (>= 1 and <= MostVisits))
        {
            yield return new Refusal("visits", $"Enter a whole number of visits from 1 to {MostVisits}, or leave it empty.");
        }
    }

    /// <summary>Puts what was checked into the child.</summary>
    public void Apply(Child child)
    {
        child.ReferredOn = ReferredOn;
        child.Zone = TextOf(Zone);
        child.Language = LanguageTags.Read(Language, "language").Value.SingleOrDefault();
        child.NeededDiscipline = NeededDiscipline;
        child.VisitsInFourWeeks = ReadVisits();
    }

    private int? ReadVisits() =>
        int.TryParse(Visits.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var visits) ? visits : null;

    private static string? TextOf(string text) => string.IsNullOrWhiteSpace(text) ? null : text.Trim();
}
