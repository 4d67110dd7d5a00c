using Caseload.Data.Children;

namespace Caseload.Data.Papers;

/// <summary>A page written for a child's family, exactly as it was given. Written once: a changed text is a new letter.</summary>
public sealed class FamilyLetter : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by the page.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The language it is written in, as a BCP 47 tag such as <c>es</c>.</summary>
    public required string Language { get; init; }

    /// <summary>The day as of which it tells.</summary>
    public required DateOnly AsOfOn { get; init; }

    /// <summary>Its parts as a JSON array: a heading and the text below it.</summary>
    public required string Parts { get; init; }

    /// <summary>Whom the family can call.</summary>
    public required string Contact { get; init; }

    /// <summary>When it was kept.</summary>
    public required DateTimeOffset SavedAt { get; init; }

    /// <summary>Who kept it: a person's name.</summary>
    public required string Who { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }
}

/// <summary>That a person made a caseload summary for paper or a spreadsheet. What it said follows from the day; the file is not kept.</summary>
public sealed class SummaryExport : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>Who made it.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>The day as of which it tells.</summary>
    public required DateOnly AsOfOn { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset MadeAt { get; init; }

    /// <summary>The kind of file.</summary>
    public required SummaryFormat Format { get; init; }

    /// <summary>Which children it was about, in words.</summary>
    public required string Scope { get; init; }

    /// <summary>How many children it was about.</summary>
    public required int ChildCount { get; init; }
}

/// <summary>The kinds of file that a caseload summary can be had as.</summary>
public enum SummaryFormat
{
    /// <summary>Comma-separated values, RFC 4180.</summary>
    Csv,

    /// <summary>A workbook, Office Open XML.</summary>
    Xlsx,

    /// <summary>Pages for paper.</summary>
    Pdf,
}
