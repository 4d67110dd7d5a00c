namespace Caseload.Web.Platform.Access;

/// <summary>Says in a few words what a browser calls itself, enough for a person to recognise their own devices.</summary>
public static class DeviceWords
{
    private static readonly (string Mark, string Word)[] _browsers =
    [
        ("Edg/", "Edge"),
        ("OPR/", "Opera"),
        ("Firefox/", "Firefox"),
        ("Chrome/", "Chrome"),
        ("Safari/", "Safari"),
    ];

    private static readonly (string Mark, string Word)[] _systems =
    [
        ("iPad", "iPad"),
        ("iPhone", "iPhone"),
        ("Android", "Android"),
        ("Windows", "Windows"),
        ("CrOS", "Chromebook"),
        ("Mac OS", "Mac"),
        ("Linux", "Linux"),
    ];

    /// <summary>For example "Chrome on Android".</summary>
    public static string Of(string? userAgent)
    {
        var browser = Find(_browsers, userAgent) ?? "A browser";
        return Find(_systems, userAgent) is { } system ? $"{browser} on {system}" : browser;
    }

    private static string? Find((string Mark, string Word)[] marks, string? userAgent) =>
        marks.FirstOrDefault(pair => userAgent?.Contains(pair.Mark, StringComparison.Ordinal) == true).Word;
}
