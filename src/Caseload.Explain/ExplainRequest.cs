using System.Globalization;
using System.Text.Json;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Explain;

/// <summary>Wrong input: the option or field concerned, and the fix.</summary>
internal sealed class InputException(string option, string fix) : Exception($"{option}: {fix}");

/// <summary>One child to explain.</summary>
internal sealed record ExplainRequest(ChildFacts Child, DateOnly On, IReadOnlyList<Finding> Findings, string? Id)
{
    internal static ExplainRequest Create(
        string? born,
        string? gestation,
        string? expected,
        string? followedFrom,
        string? on,
        JsonElement? findings,
        string? id,
        ReferenceSet set,
        string prefix
    )
    {
        var bornOn = DateOf(
            prefix + "born",
            born ?? throw new InputException(prefix + "born", "is missing. Give the birth date, for example 2026-01-05.")
        );
        var askedOn = DateOf(
            prefix + "on",
            on ?? throw new InputException(prefix + "on", "is missing. Give the date of the question, for example 2026-09-01.")
        );
        var weeks =
            string.IsNullOrWhiteSpace(gestation) || gestation == "unknown"
                ? null
                : (GestationalAge?)Take(GestationalAge.Parse(gestation), prefix);
        var expectedOn = expected is null ? (DateOnly?)null : DateOf(prefix + "expected", expected);
        var birth = Take(BirthFacts.Create(bornOn, weeks, expectedOn, askedOn), prefix);
        var followedOn = followedFrom is null ? (DateOnly?)null : DateOf(prefix + "followed-from", followedFrom);
        var read = findings is { } list ? ReadFindings(list, set, bornOn, prefix + "findings") : [];
        return new ExplainRequest(new ChildFacts(birth, followedOn), askedOn, read, id);
    }

    private static List<Finding> ReadFindings(JsonElement list, ReferenceSet set, DateOnly bornOn, string option)
    {
        if (list.ValueKind != JsonValueKind.Array)
        {
            throw new InputException(option, "must be a JSON list of findings.");
        }
        var findings = new List<Finding>(list.GetArrayLength());
        foreach (var element in list.EnumerateArray())
        {
            var row = findings.Count + 1;
            try
            {
                findings.Add(ReadFinding(element, row, set, bornOn));
            }
            catch (InputException exception)
            {
                throw new InputException(string.Create(CultureInfo.InvariantCulture, $"{option}, row {row}"), exception.Message);
            }
        }
        return findings;
    }

    private static Finding ReadFinding(JsonElement element, int row, ReferenceSet set, DateOnly bornOn)
    {
        if (element.ValueKind != JsonValueKind.Object)
        {
            throw new InputException("finding", "must be an object with item, on and response.");
        }
        var finding = new Finding(
            new Guid(row, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0),
            Text(element, "item") ?? throw new InputException("item", "is missing. Give an item id, for example moro."),
            DateOf("on", Text(element, "on") ?? throw new InputException("on", "is missing. Give the date of the look.")),
            Text(element, "side") is { } side && side is not ("none" or "midline") ? Word<Side>(side, "side") : Side.Both,
            Text(element, "response") is { } response ? Word<Response>(response, "response") : null,
            Text(element, "behaviouralState") is { } state ? Word<BehaviouralState>(state, "behaviouralState") : null,
            Text(element, "notTested") is { } reason ? Word<NotTestedReason>(reason, "notTested") : null
        );
        return Take(Finding.Check(finding, set, bornOn, DateOnly.MaxValue), "");
    }

    private static T Word<T>(string word, string field)
        where T : struct, Enum =>
        EnumWords.FromWord<T>(word.Replace(' ', '-').Replace('_', '-'))
        ?? throw new InputException(field, $"\"{word}\" is not known. Use one of: {EnumWords.ListOf<T>()}.");

    internal static string? Text(JsonElement element, string name) =>
        element.TryGetProperty(name, out var value) && value.ValueKind is not JsonValueKind.Null
            ? value.ValueKind == JsonValueKind.String
                ? value.GetString()
                : value.GetRawText()
            : null;

    private static DateOnly DateOf(string option, string text) =>
        DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var date)
            ? date
            : throw new InputException(option, $"\"{text}\" is not a date. Write year-month-day, for example 2026-01-05.");

    private static T Take<T>(Checked<T> value, string prefix) =>
        value.IsAccepted ? value.Value : throw new InputException(prefix + value.Refusals[0].Field, value.Refusals[0].Message);
}
