using System.Security.Claims;
using System.Text.Json;

namespace Caseload.Web.Platform.Access;

/// <summary>What the identity provider has proved about somebody, and nothing else that it said.</summary>
/// <param name="Issuer">The provider's name for itself.</param>
/// <param name="Subject">The provider's name for the person.</param>
/// <param name="VerifiedEmail">The person's e-mail address when the provider has verified it, else null.</param>
/// <param name="HasSecondFactor">Whether the provider asked for more than one factor.</param>
public sealed record ProvedIdentity(string Issuer, string Subject, string? VerifiedEmail, bool HasSecondFactor)
{
    private const string IssuerType = "caseload-issuer";
    private const string SubjectType = "caseload-subject";
    private const string EmailType = "caseload-email";
    private const string SecondFactorType = "caseload-second-factor";

    // The provider's words.
    private const string Email = "email";
    private const string EmailVerified = "email_verified";
    private const string Methods = "amr";
    private const string SeveralFactors = "mfa";

    /// <summary>Takes it from the claims of a checked id token.</summary>
    public static ProvedIdentity OfToken(string issuer, string subject, ClaimsPrincipal token) =>
        new(
            issuer,
            subject,
            IsTrue(token.FindFirstValue(EmailVerified)) ? token.FindFirstValue(Email) : null,
            token.HasClaim(Methods, SeveralFactors)
        );

    /// <summary>The same with the e-mail address of the provider's answer about the person, for providers that keep it out of the token.</summary>
    public ProvedIdentity WithEmailOf(JsonElement answer) =>
        VerifiedEmail is null
        && answer.TryGetProperty(Email, out var email)
        && email.ValueKind == JsonValueKind.String
        && answer.TryGetProperty(EmailVerified, out var verified)
        && IsTrue(verified.ToString())
            ? this with
            {
                VerifiedEmail = email.GetString(),
            }
            : this;

    /// <summary>Reads it from the cookie between the provider's answer and the door; null when it is not one.</summary>
    public static ProvedIdentity? Read(ClaimsPrincipal? kept) =>
        kept?.FindFirstValue(IssuerType) is { } issuer && kept.FindFirstValue(SubjectType) is { } subject
            ? new ProvedIdentity(issuer, subject, kept.FindFirstValue(EmailType), kept.HasClaim(claim => claim.Type == SecondFactorType))
            : null;

    /// <summary>Makes the principal of that cookie.</summary>
    public ClaimsPrincipal ToPrincipal(string scheme)
    {
        var identity = new ClaimsIdentity([new Claim(IssuerType, Issuer), new Claim(SubjectType, Subject)], scheme);
        if (VerifiedEmail is not null)
        {
            identity.AddClaim(new Claim(EmailType, VerifiedEmail));
        }
        if (HasSecondFactor)
        {
            identity.AddClaim(new Claim(SecondFactorType, SeveralFactors));
        }
        return new ClaimsPrincipal(identity);
    }

    // Some providers write the word as text, and a value becomes text with a capital or without.
    private static bool IsTrue(string? word) => string.Equals(word, bool.TrueString, StringComparison.OrdinalIgnoreCase);
}
