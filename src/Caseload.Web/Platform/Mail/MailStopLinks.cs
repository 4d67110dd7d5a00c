using System.Buffers.Text;
using System.Security.Cryptography;
using Caseload.Data.People;
using Caseload.Web.Platform.Access;
using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.DataProtection;

namespace Caseload.Web.Platform.Mail;

/// <summary>The addresses by which a person stops optional mail without signing in. They are good for that only, and for as long as the keys are.</summary>
public sealed class MailStopLinks(IDataProtectionProvider protection, PublicAddress address)
{
    /// <summary>What the addresses begin with.</summary>
    public const string Path = "/mail/stop/";

    private const int BytesOfId = 16;

    private readonly IDataProtector _protector = protection.CreateProtector("caseload.mail-stop");

    /// <summary>A person's address.</summary>
    public Uri Make(Guid programmeId, Guid personId) =>
        new(address.Uri, Path + Base64Url.EncodeToString(_protector.Protect([.. programmeId.ToByteArray(), .. personId.ToByteArray()])));

    /// <summary>Whose address a secret is of; null when it is nobody's.</summary>
    public PersonKey? Read(string secret)
    {
        try
        {
            return Base64Url.IsValid(secret) && _protector.Unprotect(Base64Url.DecodeFromChars(secret)) is { Length: 2 * BytesOfId } ids
                ? new PersonKey(new Guid(ids.AsSpan(0, BytesOfId)), new Guid(ids.AsSpan(BytesOfId)))
                : null;
        }
        catch (CryptographicException)
        {
            return null;
        }
    }
}
