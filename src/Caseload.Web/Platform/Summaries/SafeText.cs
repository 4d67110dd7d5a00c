namespace Caseload.Web.Platform.Summaries;

/// <summary>Keeps a spreadsheet program from taking a text for a formula.</summary>
/// <remarks>
/// The starting characters are those of OWASP's page on CSV injection and of ASVS 5.0 V1.2.10; those after white space and the full-width forms
/// are ours, because some programs trim and fold before they look.
/// </remarks>
public static class SafeText
{
    private const string Starts = "=+-@＝＋－＠\t\r\n\0";

    /// <summary>The text with an apostrophe before it when it could be taken for a formula; otherwise as it is.</summary>
    public static string Of(string text)
    {
        var trimmed = text.AsSpan().TrimStart();
        return
            (text.Length > 0 && Starts.Contains(text[0], StringComparison.Ordinal))
            || (trimmed.Length > 0 && Starts.Contains(trimmed[0], StringComparison.Ordinal))
            ? "'" + text
            : text;
    }
}
