using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Caseload.Web.Platform.Hardening;

/// <summary>The certificates that protect the data-protection keys; they are kept outside the database on purpose.</summary>
/// <param name="Current">Protects new keys.</param>
/// <param name="All">Opens the keys there are: the current one, and older ones that lie in the same folder.</param>
/// <param name="Folder">Where they lie.</param>
public sealed record KeyCertificates(X509Certificate2 Current, IReadOnlyList<X509Certificate2> All, string Folder)
{
    /// <summary>The setting that names the file of the current certificate, PKCS #12 with its private key.</summary>
    public const string FileSetting = "CASELOAD_KEYS_CERTIFICATE_FILE";

    /// <summary>The setting that names a file with the password of the certificates; without it they have none.</summary>
    public const string PasswordFileSetting = "CASELOAD_KEYS_CERTIFICATE_PASSWORD_FILE";

    private const string Pattern = "*.pfx";
    private const int KeyBits = 3072;
    private const int Years = 10;

    /// <summary>Loads the certificates; without a setting from the data folder, where the first one is made.</summary>
    public static KeyCertificates Load(IConfiguration settings, string dataFolder, TimeProvider time)
    {
        var password = PasswordFrom(settings[PasswordFileSetting]);
        if (settings[FileSetting] is { Length: > 0 } given)
        {
            if (!File.Exists(given))
            {
                throw new HostStartException(
                    $"The certificate {given} of {FileSetting} does not exist. deploy/make-secrets makes one; when keys are in the database already, bring theirs back."
                );
            }
            var folder = Path.GetDirectoryName(Path.GetFullPath(given))!;
            var current = Open(given, password);
            return new KeyCertificates(current, [current, .. OpenAll(folder, password, except: Path.GetFullPath(given))], folder);
        }

        var keys = Path.Combine(dataFolder, "keys");
        CreateOwnFolder(keys);
        if (Directory.GetFiles(keys, Pattern).Length == 0)
        {
            Make(Path.Combine(keys, $"keys-{time.GetUtcNow():yyyyMMdd}.pfx"), password, time.GetUtcNow());
        }
        var all = OpenAll(keys, password, except: null);
        return new KeyCertificates(all[0], all, keys);
    }

    /// <summary>The certificates of a folder, the newest first.</summary>
    private static List<X509Certificate2> OpenAll(string folder, string? password, string? except) =>
        [
            .. Directory
                .GetFiles(folder, Pattern)
                .Where(file => Path.GetFullPath(file) != except)
                .Select(file => Open(file, password))
                .OrderByDescending(certificate => certificate.NotBefore),
        ];

    private static X509Certificate2 Open(string file, string? password)
    {
        try
        {
            var certificate = X509CertificateLoader.LoadPkcs12FromFile(file, password);
            return certificate.HasPrivateKey && certificate.GetRSAPublicKey() is not null
                ? certificate
                : throw new HostStartException(
                    $"The certificate {file} must have an RSA key and its private half. deploy/make-secrets makes one."
                );
        }
        catch (CryptographicException)
        {
            throw new HostStartException(
                $"The certificate {file} could not be opened. It must be PKCS #12 (.pfx); if it has a password, {PasswordFileSetting} must name the file that holds it."
            );
        }
        catch (UnauthorizedAccessException)
        {
            throw new HostStartException($"The certificate {file} may not be read by the user Caseload runs as. Give that user the file.");
        }
    }

    private static string? PasswordFrom(string? file) =>
        string.IsNullOrEmpty(file) ? null
        : File.Exists(file) ? File.ReadAllText(file).Trim()
        : throw new HostStartException($"The file {file} of {PasswordFileSetting} does not exist.");

    private static void Make(string file, string? password, DateTimeOffset now)
    {
        using var key = RSA.Create(KeyBits);
        var request = new CertificateRequest("CN=Caseload keys", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyEncipherment, critical: true));
        using var certificate = request.CreateSelfSigned(now.AddDays(-1), now.AddYears(Years));
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }
        using var stream = new FileStream(file, options);
        stream.Write(certificate.ExportPkcs12(Pkcs12ExportPbeParameters.Pbes2Aes256Sha256, password));
    }

    private static void CreateOwnFolder(string folder)
    {
        if (OperatingSystem.IsWindows())
        {
            Directory.CreateDirectory(folder);
        }
        else
        {
            Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }
    }
}
