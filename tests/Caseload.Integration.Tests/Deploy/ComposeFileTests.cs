namespace Caseload.Integration.Tests.Deploy;

public sealed class ComposeFileTests
{
    private static readonly ComposeFile Compose = ComposeFile.Parse(RepositoryFiles.Read("docker-compose.yml"));

    public static TheoryData<string> Services => [.. Compose.List("services")];

    [Fact]
    public void Services_WhenListed_AreTheKnownOnes()
    {
        Compose.List("services").ShouldBe(["database", "migrate", "web", "backup"], ignoreOrder: true);
    }

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_WhenRunning_CannotWriteItsRootFileSystem(string service)
    {
        Compose.Text("services", service, "read_only").ShouldBe("true");
        Compose.List("services", service, "tmpfs").ShouldContain("/tmp");
    }

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_WhenRunning_CannotGainRights(string service)
    {
        Compose.List("services", service, "cap_drop").ShouldBe(["ALL"]);
        Compose.List("services", service, "security_opt").ShouldContain("no-new-privileges:true");
        Compose.Text("services", service, "privileged").ShouldBeNull();
    }

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_WhenRunning_IsNotRoot(string service)
    {
        var ownImage = Compose.Text("services", service, "build", "dockerfile") == "deploy/Dockerfile";

        // The user of our own image is the Dockerfile's, which its own test looks at.
        Compose.Text("services", service, "user").ShouldBe(ownImage ? null : "postgres");
    }

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_WhenItNeedsAPassword_ReadsItFromAFile(string service)
    {
        foreach (var variable in Compose.List("services", service, "environment"))
        {
            var value = Compose.Text("services", service, "environment", variable)!;
            value.ShouldNotContain("password=", Case.Insensitive);

            if (variable.Contains("PASSWORD", StringComparison.OrdinalIgnoreCase))
            {
                variable.ShouldEndWith("_FILE");
                Compose.List("services", service, "secrets").ShouldContain(Path.GetFileName(value));
                value.ShouldStartWith("/run/secrets/");
            }
        }
    }

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_WhenItNeedsTheDatabase_WaitsUntilItIsReady(string service)
    {
        if (service == "database")
        {
            Compose.List("services", service, "healthcheck", "test").ShouldContain("pg_isready");
            return;
        }

        Compose.Text("services", service, "depends_on", "database", "condition").ShouldBe("service_healthy");
    }

    [Theory]
    [InlineData("database")]
    [InlineData("backup")]
    public void DatabaseImage_WhenNamed_IsPinnedToAMinorVersion(string service)
    {
        Compose.Text("services", service, "image")!.ShouldMatch(@"^postgres:15\.\d+(-\w+)?$");
    }

    [Fact]
    public void DatabaseImage_WhenTestsUseContainers_IsTheSame()
    {
        var image = Compose.Text("services", "database", "image")!;

        RepositoryFiles.Read("tests/Caseload.Testing/TestServer.cs").ShouldContain($"\"{image}\"");
        Compose.Text("services", "backup", "image").ShouldBe(image);
    }

    [Fact]
    public void Database_WhenRunning_PublishesNoPort()
    {
        Compose.Find("services", "database", "ports").ShouldBeNull();
        Compose.List("services", "database", "networks").ShouldBe(["database"]);
        Compose.Text("networks", "database", "internal").ShouldBe("true");
    }

    [Fact]
    public void Database_WhenCreated_HasChecksumsAndScram()
    {
        var arguments = Compose.Text("services", "database", "environment", "POSTGRES_INITDB_ARGS")!;

        arguments.ShouldContain("--data-checksums");
        arguments.ShouldContain("--auth-local=scram-sha-256");
        arguments.ShouldContain("--auth-host=scram-sha-256");
    }

    [Fact]
    public void Database_WhenRemoved_LeavesItsRowsInANamedVolume()
    {
        Compose.List("services", "database", "volumes").ShouldContain("database:/var/lib/postgresql/data");
        Compose.List("volumes").ShouldBe(["database", "keys", "backups"], ignoreOrder: true);
    }

    [Fact]
    public void Web_WhenStarted_WaitsForTheMigration()
    {
        Compose.Text("services", "web", "depends_on", "migrate", "condition").ShouldBe("service_completed_successfully");
        Compose.List("services", "migrate", "command").ShouldBe(["migrate"]);
        Compose.Text("services", "migrate", "restart").ShouldBe("no");
    }

    [Fact]
    public void Web_WhenRunning_NeverSeesTheOwnersPassword()
    {
        Compose.List("services", "web", "secrets").ShouldBe(["database_app_password", "keys_certificate"]);
        Compose.Text("services", "web", "environment", "ConnectionStrings__Caseload")!.ShouldContain("Username=caseload_app");
    }

    [Fact]
    public void Web_WhenPublished_ListensOnLoopbackOnly()
    {
        Compose.List("services", "web", "ports").ShouldAllBe(port => port.StartsWith("127.0.0.1:", StringComparison.Ordinal));
    }

    [Fact]
    [Trait("Requirement", "SEC-49")]
    public void Database_WhenReachedInTheClear_IsTheOneOfTheInternalNetwork()
    {
        foreach (var service in new[] { "migrate", "web" })
        {
            Compose.Text("services", service, "environment", "CASELOAD_DB_ALLOW_PLAINTEXT").ShouldBe("database");
            Compose.Text("services", service, "environment", "ConnectionStrings__Caseload")!.ShouldStartWith("Host=database;");
        }
        Compose.Text("networks", "database", "internal").ShouldBe("true");
    }

    [Fact]
    [Trait("Requirement", "SEC-50")]
    public void KeyCertificate_WhenKeysAreBackedUp_StaysWithTheWebApplication()
    {
        Compose.Text("services", "web", "environment", "CASELOAD_KEYS_CERTIFICATE_FILE").ShouldBe("/run/secrets/keys_certificate");
        foreach (var service in new[] { "database", "migrate", "backup" })
        {
            Compose.List("services", service, "secrets").ShouldNotContain("keys_certificate");
        }
    }

    [Fact]
    [Trait("Requirement", "SEC-54")]
    public void Web_WhenNothingIsSet_IsForThisMachineAndBelievesNoProxy()
    {
        Compose
            .Text("services", "web", "environment", "CASELOAD_PUBLIC_ADDRESS")
            .ShouldBe("${CASELOAD_PUBLIC_ADDRESS:-http://localhost:${CASELOAD_PORT:-8080}}");
        Compose.Text("services", "web", "environment", "CASELOAD_PROXY").ShouldBe("${CASELOAD_PROXY:-}");
    }

    [Theory]
    [InlineData("CASELOAD_OIDC_AUTHORITY")]
    [InlineData("CASELOAD_OIDC_CLIENT_ID")]
    [InlineData("CASELOAD_OIDC_LABEL")]
    [InlineData("CASELOAD_SMTP_HOST")]
    [InlineData("CASELOAD_SMTP_PORT")]
    [InlineData("CASELOAD_SMTP_SECURITY")]
    [InlineData("CASELOAD_SMTP_ALLOW_PLAINTEXT")]
    [InlineData("CASELOAD_SMTP_USER")]
    [InlineData("CASELOAD_MAIL_FROM")]
    [InlineData("CASELOAD_MAIL_REPLY_TO")]
    public void Setting_ThatIsOptional_IsPassedOnAndEmptyByItself(string setting) =>
        Compose.Text("services", "web", "environment", setting).ShouldBe($"${{{setting}:-}}");

    [Fact]
    public void Secrets_WhenNamed_ComeFromIgnoredFilesThatTheScriptMakes()
    {
        var script = RepositoryFiles.Read("deploy/make-secrets");

        foreach (var secret in Compose.List("secrets"))
        {
            Compose
                .Text("secrets", secret, "file")
                .ShouldBe($"./deploy/secrets/{secret}{(secret == "keys_certificate" ? ".pfx" : ".txt")}");
            script.ShouldContain(secret);
        }

        RepositoryFiles.Read(".gitignore").Split('\n').ShouldContain("deploy/secrets/");
        RepositoryFiles.Read(".dockerignore").Split('\n')[0].ShouldBe("*");
    }

    [Fact]
    public void MountedFiles_WhenTheyAreOurs_ExistAndCannotBeWritten()
    {
        var mounts = Compose.List("services").SelectMany(service => Compose.List("services", service, "volumes"));

        foreach (var mount in mounts.Where(mount => mount.StartsWith("./", StringComparison.Ordinal)))
        {
            mount.ShouldEndWith(":ro");
        }

        RepositoryFiles.ModeOf("deploy/database/app-role.sh").HasFlag(UnixFileMode.OtherExecute).ShouldBeTrue();
        RepositoryFiles.ModeOf("deploy/backup").HasFlag(UnixFileMode.OtherExecute).ShouldBeTrue();
    }

    [Fact]
    public void ComposeFile_WhenAPropertyIsMissing_IsNotReadAsPresent()
    {
        var broken = ComposeFile.Parse("services:\n  database:\n    image: postgres:latest\n");

        broken.Text("services", "database", "read_only").ShouldBeNull();
        broken.List("services", "database", "cap_drop").ShouldBeEmpty();
    }
}
