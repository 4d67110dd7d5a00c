using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Xml.Linq;
using Caseload.Data.Setup;
using Caseload.Integration.Tests.PrivateCluster;
using Caseload.Testing;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>The keys in the database are of no use to somebody who has only the database.</summary>
[Trait("Requirement", "SEC-50")]
public sealed class ProtectionKeyTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly string _folder = Directory.CreateTempSubdirectory("caseload-keys-").FullName;
    private TestDatabase _database = null!;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private string KeyFolder => Path.Combine(_folder, "keys");

    public async ValueTask InitializeAsync()
    {
        _database = await postgres.CreateDatabaseAsync();
        await KeyTables.EnsureAsync(_database);
    }

    public async ValueTask DisposeAsync()
    {
        await _database.DisposeAsync();
        Directory.Delete(_folder, recursive: true);
    }

    [Fact]
    public void Certificate_WhenThereIsNone_IsMadeOnceForThisUserOnly()
    {
        var first = Load();
        var second = Load();

        var file = Directory.GetFiles(KeyFolder).ShouldHaveSingleItem();
        File.GetUnixFileMode(file).ShouldBe(UnixFileMode.UserRead | UnixFileMode.UserWrite);
        File.GetUnixFileMode(KeyFolder).ShouldBe(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        second.Current.Thumbprint.ShouldBe(first.Current.Thumbprint);
        first.Current.HasPrivateKey.ShouldBeTrue();
        first.Current.GetRSAPublicKey()!.KeySize.ShouldBe(3072);
    }

    [Fact]
    public async Task Keys_WhenStored_AreEncrypted()
    {
        await using (var services = Open(Load()))
        {
            Protect(services, "a secret").ShouldNotContain("a secret");
        }

        var xml = (string)(await Sql.AskAsync(_database.OwnerConnectionString, "select xml from protection_keys", Cancellation))!;
        var key = XElement.Parse(xml);
        key.Descendants().ShouldContain(element => element.Name.LocalName == "EncryptedData");
        key.Descendants().ShouldContain(element => element.Name.LocalName == "encryptedSecret");
        key.Descendants().ShouldNotContain(element => element.Name.LocalName == "masterKey");
        var name = (string)
            (await Sql.AskAsync(_database.OwnerConnectionString, "select friendly_name from protection_keys", Cancellation))!;
        name.ShouldStartWith("key-");
    }

    [Fact]
    public async Task Instances_WhenTheyShareDatabaseAndCertificate_ReadEachOther()
    {
        await using var first = Open(Load());
        var text = Protect(first, "a secret");

        await using var second = Open(Load());

        second.RequireReadableKeys();
        Unprotect(second, text).ShouldBe("a secret");
        (await Sql.AskAsync(_database.OwnerConnectionString, "select count(*) from protection_keys", Cancellation)).ShouldBe(1L);
    }

    [Fact]
    public async Task Rotation_WhenANewCertificateLiesBesideTheOld_KeepsWhatWasProtected()
    {
        var old = Load();
        string text;
        await using (var before = Open(old))
        {
            text = Protect(before, "a secret");
        }
        await MakeAsync(Path.Combine(KeyFolder, "newer.pfx"));
        var rotated = Load();

        await using var after = Open(rotated);
        after.RequireReadableKeys();
        after.GetRequiredService<IKeyManager>().CreateNewKey(DateTimeOffset.MinValue, DateTimeOffset.MaxValue);

        rotated.Current.Thumbprint.ShouldNotBe(old.Current.Thumbprint);
        rotated.All.Count.ShouldBe(2);
        Unprotect(after, text).ShouldBe("a secret");
        // The old one alone does not open what was made after the rotation.
        await using var onlyOld = Open(old);
        Should.Throw<HostStartException>(onlyOld.RequireReadableKeys).Message.ShouldStartWith("1 of the data-protection keys");
    }

    [Fact]
    public async Task Host_WhenTheCertificateIsGone_DoesNotStartAndSaysWhatToDo()
    {
        await using (var services = Open(Load()))
        {
            Protect(services, "a secret");
        }
        Directory.Delete(KeyFolder, recursive: true);

        var settings = HardenedSite.Settings(("ConnectionStrings:Caseload", _database.AppConnectionString));
        var start = new HostStart(HostCommand.Serve, IsDemo: false, _folder, "http://127.0.0.1:0", Today: null);
        await using var access = await DatabaseAccess.OpenAsync(start, settings, _ => { }, Cancellation);

        var message = Should.Throw<HostStartException>(() => WebHost.Build(start, access, settings)).Message;

        message.ShouldContain("cannot be decrypted");
        message.ShouldContain(KeyFolder);
        message.ShouldContain(".pfx");
    }

    [Fact]
    public async Task Host_WhenTheTableIsMissing_SaysToMigrate()
    {
        await Sql.AskAsync(_database.OwnerConnectionString, "drop table protection_keys", Cancellation);
        await using var services = Open(Load());

        Should.Throw<HostStartException>(services.RequireReadableKeys).Message.ShouldContain("migrate");
    }

    [Fact]
    public async Task Certificate_WhenTheScriptMadeIt_IsTaken()
    {
        var file = Path.Combine(_folder, "given.pfx");
        await MakeAsync(file);

        var certificates = KeyCertificates.Load(HardenedSite.Settings((KeyCertificates.FileSetting, file)), _folder, TimeProvider.System);

        certificates.Current.GetRSAPublicKey()!.KeySize.ShouldBe(3072);
        Directory.Exists(KeyFolder).ShouldBeFalse();
        await using var services = Open(certificates);
        Unprotect(services, Protect(services, "a secret")).ShouldBe("a secret");
    }

    [Fact]
    public void Certificate_WhenItHasAPassword_NeedsTheFileWithIt()
    {
        var file = Path.Combine(_folder, "locked.pfx");
        var passwordFile = Path.Combine(_folder, "password.txt");
        File.WriteAllText(passwordFile, "correct horse\n");
        using (var key = RSA.Create(2048))
        {
            var request = new CertificateRequest("CN=Locked", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
            using var certificate = request.CreateSelfSigned(DateTimeOffset.UnixEpoch, DateTimeOffset.UnixEpoch.AddYears(100));
            File.WriteAllBytes(file, certificate.Export(X509ContentType.Pkcs12, "correct horse"));
        }
        var given = (KeyCertificates.FileSetting, file);

        KeyCertificates
            .Load(HardenedSite.Settings(given, (KeyCertificates.PasswordFileSetting, passwordFile)), _folder, TimeProvider.System)
            .Current.Subject.ShouldBe("CN=Locked");
        Should
            .Throw<HostStartException>(() => KeyCertificates.Load(HardenedSite.Settings(given), _folder, TimeProvider.System))
            .Message.ShouldContain(KeyCertificates.PasswordFileSetting);
    }

    [Theory]
    [InlineData(KeyCertificates.FileSetting, "deploy/make-secrets")]
    [InlineData(KeyCertificates.PasswordFileSetting, "does not exist")]
    public void Certificate_WhenAFileIsMissing_StopsTheStart(string setting, string advice)
    {
        var settings = HardenedSite.Settings((setting, Path.Combine(_folder, "nowhere")));

        Should.Throw<HostStartException>(() => KeyCertificates.Load(settings, _folder, TimeProvider.System)).Message.ShouldContain(advice);
    }

    private static async Task MakeAsync(string file)
    {
        var (code, output) = await Deploy.RepositoryFiles.RunAsync("deploy/make-secrets", ["--certificate", file], Cancellation);
        code.ShouldBe(0, output);
    }

    private static string Protect(IServiceProvider services, string text) => Protector(services).Protect(text);

    private static string Unprotect(IServiceProvider services, string text) => Protector(services).Unprotect(text);

    private static IDataProtector Protector(IServiceProvider services) =>
        services.GetRequiredService<IDataProtectionProvider>().CreateProtector("test");

    private KeyCertificates Load() => KeyCertificates.Load(HardenedSite.Settings(), _folder, TimeProvider.System);

    private ServiceProvider Open(KeyCertificates certificates)
    {
        var services = new ServiceCollection();
        services.AddLogging();
        services.AddSingleton(TimeProvider.System);
        services.AddCaseloadData(_database.AppConnectionString);
        services.AddProtectionKeys(certificates);
        return services.BuildServiceProvider();
    }
}
