using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Platform.Access;

/// <summary>Where people sign in, and where they go afterwards.</summary>
public static class SignInAddress
{
    /// <summary>The sign-in page.</summary>
    public const string Path = "/account/sign-in";

    /// <summary>The query parameter that names the page to go to afterwards.</summary>
    public const string ReturnParameter = "return";

    /// <summary>The sign-in page, and back to the present one. Pages have ids in their addresses, never names.</summary>
    public static string After(NavigationManager navigation) =>
        $"{Path}?{ReturnParameter}={Uri.EscapeDataString("/" + navigation.ToBaseRelativePath(navigation.Uri))}";

    /// <summary>Where to go: the page that was asked for when it is one of ours, else the first page.</summary>
    public static string Local(string? asked) =>
        asked is { Length: > 0 and < 200 }
        && asked[0] == '/'
        && !asked.StartsWith("//", StringComparison.Ordinal)
        && !asked.Contains('\\', StringComparison.Ordinal)
        && !asked.Any(char.IsControl)
            ? asked
            : "/";
}
