using System.Security.Cryptography;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using Microsoft.Extensions.Options;
using Npgsql;

namespace Caseload.Web.Platform.Hardening;

/// <summary>The keys that cookies and tokens are protected with: kept in the database, encrypted with a certificate that is not.</summary>
public static class ProtectionKeys
{
    // Keys of one application are not good for another; the name must never change, or everybody's cookies end.
    private const string ApplicationName = "Caseload";

    /// <summary>Registers data protection.</summary>
    public static void AddProtectionKeys(this IServiceCollection services, KeyCertificates certificates)
    {
        services.AddSingleton(certificates);
        services.AddSingleton<KeyTable>();
        services
            .AddDataProtection()
            .SetApplicationName(ApplicationName)
            .ProtectKeysWithCertificate(certificates.Current)
            .UnprotectKeysWithAnyCertificate([.. certificates.All]);
        services.AddOptions<KeyManagementOptions>().Configure<KeyTable>((management, table) => management.XmlRepository = table);
    }

    /// <summary>Refuses a start with keys that none of the certificates opens.</summary>
    /// <remarks>Without this the framework would make new keys in silence, and whatever the old ones protect would be lost.</remarks>
    public static void RequireReadableKeys(this IServiceProvider services)
    {
        var unreadable = KeysOf(services).Count(key => !key.IsRevoked && !IsReadable(key));
        if (unreadable > 0)
        {
            throw new HostStartException(
                $"{unreadable} of the data-protection keys in the database cannot be decrypted with the certificates in "
                    + $"{services.GetRequiredService<KeyCertificates>().Folder}. Put the certificate they were made with back into that folder, as "
                    + "a file that ends in .pfx. If it is lost for good, delete the rows of protection_keys: everybody must then sign in again."
            );
        }
    }

    private static IReadOnlyCollection<IKey> KeysOf(IServiceProvider services)
    {
        try
        {
            return services.GetRequiredService<IKeyManager>().GetAllKeys();
        }
        catch (PostgresException exception) when (exception.SqlState == PostgresErrorCodes.UndefinedTable)
        {
            throw new HostStartException(
                "The database has no table for the data-protection keys yet. Bring it up to date first: Caseload.Web migrate."
            );
        }
    }

    private static bool IsReadable(IKey key)
    {
        try
        {
            return key.CreateEncryptor() is not null;
        }
        catch (Exception exception) when (exception is CryptographicException or System.Xml.XmlException or InvalidOperationException)
        {
            return false;
        }
    }
}
