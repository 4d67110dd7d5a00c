using Caseload.Web.Platform.Families;

namespace Caseload.Web.Features.Family;

/// <summary>The page for the family while it is being edited.</summary>
public sealed class FamilyForm
{
    /// <summary>How long a part may be.</summary>
    public const int LongestText = 4000;

    /// <summary>The field of whom to call.</summary>
    public const string ContactField = "contact";

    /// <summary>The language.</summary>
    public string Language { get; set; } = "en";

    /// <summary>Headings and texts, in order.</summary>
    public List<FamilyFormPart> Parts { get; } = [];

    /// <summary>Whom to call.</summary>
    public string Contact { get; set; } = "";

    /// <summary>The field of a part.</summary>
    public static string FieldOf(int part) => FormattableString.Invariant($"part-{part}");

    /// <summary>Puts a page into the form.</summary>
    public void Take(string language, IReadOnlyList<FamilyPart> parts, string contact)
    {
        Language = language;
        Parts.Clear();
        Parts.AddRange(parts.Select(part => new FamilyFormPart { Heading = part.Heading, Text = part.Text }));
        Contact = contact;
    }
}

/// <summary>A part while it is being edited.</summary>
public sealed class FamilyFormPart
{
    /// <summary>The heading.</summary>
    public required string Heading { get; init; }

    /// <summary>The text.</summary>
    public required string Text { get; set; }
}
