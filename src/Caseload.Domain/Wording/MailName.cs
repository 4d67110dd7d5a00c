using Caseload.Domain.Policy;

namespace Caseload.Domain.Wording;

/// <summary>What a child is called in mail: never by name.</summary>
public static class MailName
{
    /// <summary>The code, with the initials where the programme wants them.</summary>
    /// <param name="code">The child's code.</param>
    /// <param name="givenName">The given name.</param>
    /// <param name="familyName">The family name.</param>
    /// <param name="naming">The programme's choice.</param>
    public static string Of(string code, string givenName, string familyName, MailNaming naming) =>
        naming == MailNaming.Code ? code : $"{code} ({Initial(givenName)}{Initial(familyName)})";

    private static string Initial(string name) =>
        name.Length == 0 ? "" : System.Globalization.StringInfo.GetNextTextElement(name).ToUpperInvariant() + ".";
}
