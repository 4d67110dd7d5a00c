using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform.Reports;

namespace Caseload.Web.Platform.Families;

/// <summary>A part of the page for the family.</summary>
/// <param name="Heading">Its heading.</param>
/// <param name="Text">Its text; a line that begins with a dash is a point of a list.</param>
public sealed record FamilyPart(string Heading, string Text);

/// <summary>Proposes the text of the page for the family, which the clinician edits.</summary>
/// <remarks>
/// It says what was seen and what comes next, in short words; it names no cause, weighs nothing and advises nothing. What asks for attention is
/// only said to be looked at again: that is told in person.
/// </remarks>
public static class FamilyPage
{
    /// <summary>What begins a point of a list.</summary>
    public const string Point = "- ";

    private const int DaysAhead = 42;
    private const int MostAhead = 6;

    // Good news first.
    private static readonly string[] _order =
    [
        "State.Here",
        "State.Begun",
        "State.Gone",
        "State.Fading",
        "State.Fits",
        "State.OnceAbsent",
        "State.NotSeen",
        "State.LookAgain",
    ];

    /// <summary>The page's title.</summary>
    public static string Title(ChildReport report, FamilyTexts texts) => texts.Format("Title", report.GivenName);

    /// <summary>The parts, in order; whom to call stands by itself.</summary>
    public static IReadOnlyList<FamilyPart> Propose(ChildReport report, FamilyTexts texts) =>
        [
            new FamilyPart(texts["Intro.Heading"], Intro(report, texts)),
            new FamilyPart(texts["Seen.Heading"], Seen(report, texts)),
            new FamilyPart(texts["Next.Heading"], Next(report, texts)),
            new FamilyPart(texts["Good.Heading"], texts["Good.Text"]),
        ];

    private static string Intro(ChildReport report, FamilyTexts texts)
    {
        var text = texts.Format("Intro.Text", report.GivenName, texts.Day(report.AsOfOn));
        return report.Ages is { Basis: AgeBasis.Corrected, Corrected: { } corrected }
            ? text + "\n" + texts.Format("Intro.Due", report.GivenName, AgeOf(corrected, texts))
            : text;
    }

    private static string Seen(ChildReport report, FamilyTexts texts)
    {
        var looked = report.Standing.Where(finding => finding.Response is not null).Select(finding => finding.Item).ToHashSet();
        var groups = report
            .Results.Where(result => looked.Contains(result.Item.Id) && KeyOf(result.State) is not null)
            .GroupBy(result => KeyOf(result.State)!)
            .OrderBy(group => Array.IndexOf(_order, group.Key))
            .Select(group => string.Join('\n', group.Select(result => Point + NameOf(result, texts)).Prepend(texts[group.Key])))
            .ToList();
        return groups.Count == 0 ? texts["Seen.None"] : string.Join('\n', groups);
    }

    private static string Next(ChildReport report, FamilyTexts texts)
    {
        var visit = report.NextVisitOn is { } on ? texts.Format("Next.Visit", texts.Day(on)) : texts["Next.NoVisit"];
        var checks = report
            .Results.Where(result =>
                result.NextCheck?.Span.From <= report.AsOfOn.AddDays(DaysAhead) && !report.RuledOut.Contains(result.Item.Id)
            )
            .OrderByDescending(result => result.Verdict.Concern)
            .ThenBy(result => result.NextCheck!.Span.Through)
            .Take(MostAhead)
            .Select(result => Point + NameOf(result, texts))
            .ToList();
        return checks.Count == 0
            ? visit + "\n" + texts["Next.Nothing"]
            : visit + "\n" + texts["Next.Look"] + "\n" + string.Join('\n', checks);
    }

    // A programme's own set may hold items that nobody has put into plain words yet; the clinician does it then.
    private static string NameOf(ItemResult result, FamilyTexts texts) => texts.Find("Seen." + result.Item.Id) ?? result.Item.Name;

    private static string AgeOf(CalendarAge age, FamilyTexts texts) =>
        age switch
        {
            { TotalDays: < 14 } => texts["Age.Week"],
            { TotalMonths: < 2 } => texts.Format("Age.Weeks", age.TotalDays / 7),
            _ => texts.Format("Age.Months", age.TotalMonths),
        };

    private static string? KeyOf(ItemState state) =>
        state switch
        {
            ItemState.PresentAsExpected => "State.Fits",
            ItemState.Fading => "State.Fading",
            ItemState.Integrated => "State.Gone",
            ItemState.AwaitingConfirmation => "State.OnceAbsent",
            ItemState.Persisting or ItemState.OneSided or ItemState.Obligatory or ItemState.Returned => "State.LookAgain",
            ItemState.AbsentWhenExpected or ItemState.Late or ItemState.ExpectedNotYetSeen => "State.NotSeen",
            ItemState.DeadlinePassedUnchecked => "State.LookAgain",
            ItemState.Emerging => "State.Begun",
            ItemState.Established => "State.Here",
            ItemState.NotYetExpected => null,
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };
}
