using System.Security.Cryptography;
using OtpNet;
using QRCoder;

namespace Caseload.Web.Platform.Access;

/// <summary>Six-digit codes of an authenticator app that change every half minute (TOTP, RFC 6238, with SHA-1 as every app reads it).</summary>
public static class AuthenticatorCodes
{
    /// <summary>How many digits a code has.</summary>
    public const int Digits = 6;

    /// <summary>How long a code is the current one.</summary>
    public const int SecondsPerStep = 30;

    /// <summary>How many steps a person's clock may be behind or ahead.</summary>
    public const int StepsBeforeAndAfter = 1;

    private const string Issuer = "Caseload";

    // 160 bits, the length of the hash, as RFC 4226 recommends in section 4.
    private const int BytesOfSecret = 20;

    private const int PixelsPerModule = 6;

    /// <summary>Makes a new shared secret, as Base32 text that can also be typed into an app.</summary>
    public static string NewSecret() => Base32Encoding.ToString(RandomNumberGenerator.GetBytes(BytesOfSecret));

    /// <summary>The address that an authenticator app reads from the picture. It holds the secret: show it once, never log it.</summary>
    /// <param name="secret">The secret in Base32.</param>
    /// <param name="signInName">What the app shows below the product's name.</param>
    public static string AddressOf(string secret, string signInName) =>
        new OtpUri(OtpType.Totp, secret, signInName, Issuer, OtpHashMode.Sha1, Digits, SecondsPerStep).ToString();

    /// <summary>The address as a picture to scan: a PNG inside a data address, so that no request ever carries the secret.</summary>
    public static string PictureOf(string address)
    {
        using var data = QRCodeGenerator.GenerateQrCode(address, QRCodeGenerator.ECCLevel.M);
        using var picture = new PngByteQRCode(data);
        return "data:image/png;base64," + Convert.ToBase64String(picture.GetGraphic(PixelsPerModule));
    }

    /// <summary>Checks a typed code.</summary>
    /// <param name="secret">The secret in Base32.</param>
    /// <param name="typed">What was typed; spaces do not count.</param>
    /// <param name="at">The instant at which it arrived.</param>
    /// <param name="lastUsedStep">The step of the last code that was accepted for this secret, or null.</param>
    /// <returns>
    /// The step that the code belongs to, which the caller keeps as the last used one in the same transaction; null when the code is wrong,
    /// too old, or not newer than the last one used, so that a code that was looked over somebody's shoulder is worth nothing.
    /// </returns>
    public static long? MatchedStep(string secret, string typed, DateTimeOffset at, long? lastUsedStep)
    {
        ArgumentNullException.ThrowIfNull(typed);
        var code = string.Concat(typed.Where(sign => !char.IsWhiteSpace(sign)));
        if (code.Length != Digits || !code.All(char.IsAsciiDigit))
        {
            return null;
        }
        var totp = new Totp(Base32Encoding.ToBytes(secret), SecondsPerStep, OtpHashMode.Sha1, Digits);
        return
            totp.VerifyTotp(at.UtcDateTime, code, out var step, new VerificationWindow(StepsBeforeAndAfter, StepsBeforeAndAfter))
            && (lastUsedStep is null || step > lastUsedStep)
            ? step
            : null;
    }
}
