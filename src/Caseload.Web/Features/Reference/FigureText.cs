using System.Globalization;
using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>Figures as the reference pages write them.</summary>
public static class FigureText
{
    /// <summary>One number or two.</summary>
    public static string Span(double from, double through) => from.Equals(through) ? Number(from) : $"{Number(from)} to {Number(through)}";

    /// <summary>A span of months.</summary>
    public static string Months(double from, double through) =>
        Span(from, through) + (from.Equals(through) && from.Equals(1d) ? " month" : " months");

    /// <summary>When an item is first expected.</summary>
    public static string Of(OnsetFigure onset) =>
        onset.Unit switch
        {
            OnsetUnit.PmaWeeks => Span(onset.From, onset.Through) + " weeks PMA",
            OnsetUnit.Birth => "at birth",
            OnsetUnit.CorrectedMonths => Months(onset.From, onset.Through),
            _ => throw new ArgumentOutOfRangeException(nameof(onset)),
        };

    /// <summary>The earliest age ever published.</summary>
    public static string Of(EarliestFigure earliest) =>
        Of(new OnsetFigure(earliest.Unit, earliest.Value, earliest.Value, earliest.Sources));

    /// <summary>The usual window in one phrase.</summary>
    public static string Usual(ReferenceItem item) =>
        (item.Course, item.Rule) switch
        {
            (ItemCourse.Lifelong, _) => "stays for life",
            (ItemCourse.GivesWay, { UsualFrom: { } from, UsualThrough: { } through }) => "goes at " + Months(from.Months, through.Months),
            (_, { UsualThrough: { } through }) => "there by " + Months(through.Months, through.Months),
            _ => "–",
        };

    /// <summary>The latest published limit.</summary>
    public static string Latest(ReferenceItem item) =>
        item.Rule.Latest is { } latest ? Months(latest.Months, latest.Months)
        : item.Course == ItemCourse.Lifelong ? "none"
        : "not agreed";

    /// <summary>Whether, and when, absence matters.</summary>
    public static string Absence(ReferenceItem item) =>
        (item.Course, item.Rule) switch
        {
            (ItemCourse.Emerges, { UsualThrough: { } through }) => "yes, past " + Months(through.Months, through.Months),
            (_, { Absence: { } span }) => "yes, at " + Months(span.FromMonths, span.ThroughMonths),
            _ => "not by itself",
        };

    /// <summary>The age a source gives, with its unit.</summary>
    public static string Of(SourceFigure figure) =>
        (figure.From ?? figure.Through) is not { } from ? "no number"
        : figure.Unit == FigureUnit.Months ? Months(from, figure.Through ?? from)
        : Span(from, figure.Through ?? from) + " weeks PMA";

    /// <summary>What a source's figure speaks about.</summary>
    public static string Of(FigureKind kind) =>
        kind switch
        {
            FigureKind.Onset => "First seen",
            FigureKind.Goes => "Gone by",
            FigureKind.Appears => "Appears",
            FigureKind.Ends => "Fades or is replaced",
            _ => throw new ArgumentOutOfRangeException(nameof(kind)),
        };

    /// <summary>How a figure was seen, in a word that fits a plot.</summary>
    public static string InAWord(Certainty certainty) =>
        certainty switch
        {
            Certainty.Text => "seen",
            Certainty.Copy => "in a copy",
            Certainty.Memory => "from memory",
            Certainty.Practice => "no source",
            _ => throw new ArgumentOutOfRangeException(nameof(certainty)),
        };

    /// <summary>What an item does over time.</summary>
    public static string Of(ItemCourse course) =>
        course switch
        {
            ItemCourse.GivesWay => "Serves the infant, then gives way",
            ItemCourse.Lifelong => "Appears and stays for life",
            ItemCourse.Emerges => "Emerges and is wanted",
            _ => throw new ArgumentOutOfRangeException(nameof(course)),
        };

    /// <summary>How much handling an item asks.</summary>
    public static string Effort(int effort) =>
        effort switch
        {
            1 => "Little handling: tested as found",
            2 => "Some handling: moved or pulled",
            _ => "Much handling: lifted, suspended or lowered",
        };

    /// <summary>Where a source can be found, when its address is one that a browser can open.</summary>
    public static string? LinkOf(string? address)
    {
        if (address is null)
        {
            return null;
        }
        if (address.StartsWith("doi ", StringComparison.Ordinal))
        {
            return "https://doi.org/" + address[4..];
        }
        var host = address.Split('/')[0];
        return !address.Contains(' ', StringComparison.Ordinal) && host.Contains('.', StringComparison.Ordinal)
            ? "https://" + address
            : null;
    }

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
