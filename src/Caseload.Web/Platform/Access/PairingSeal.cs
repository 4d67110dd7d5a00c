using System.Security.Cryptography;
using Microsoft.AspNetCore.DataProtection;

namespace Caseload.Web.Platform.Access;

/// <summary>Seals a new authenticator's secret for one person, so that the page's form can carry it to and fro.</summary>
public sealed class PairingSeal(IDataProtectionProvider protection)
{
    private static readonly TimeSpan _time = TimeSpan.FromMinutes(15);

    /// <summary>Seals it.</summary>
    public string Seal(Guid personId, string secret) => SealerOf(personId).Protect(secret, _time);

    /// <summary>Opens what was sealed, or makes a new secret when it was sealed for somebody else or too long ago.</summary>
    public string OpenOrNew(Guid personId, string sealedSecret)
    {
        try
        {
            return sealedSecret.Length == 0 ? AuthenticatorCodes.NewSecret() : SealerOf(personId).Unprotect(sealedSecret);
        }
        catch (CryptographicException)
        {
            return AuthenticatorCodes.NewSecret();
        }
    }

    private ITimeLimitedDataProtector SealerOf(Guid personId) =>
        protection.CreateProtector("caseload.pairing", personId.ToString()).ToTimeLimitedDataProtector();
}
