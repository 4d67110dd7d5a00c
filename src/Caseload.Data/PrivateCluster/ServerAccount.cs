using System.Runtime.Versioning;

namespace Caseload.Data.PrivateCluster;

/// <summary>The operating system user that runs the server: this one, or <c>postgres</c> when this one is root.</summary>
[UnsupportedOSPlatform("windows")]
internal sealed class ServerAccount
{
    private const string UnprivilegedUser = "postgres";

    private readonly IReadOnlyList<string> _prefix;

    private ServerAccount(IReadOnlyList<string> prefix) => _prefix = prefix;

    private bool IsAnotherUser => _prefix.Count > 0;

    public static async Task<ServerAccount> FindAsync(CancellationToken cancellationToken)
    {
        if (!Environment.IsPrivilegedProcess)
        {
            return new ServerAccount([]);
        }

        var user = await Command.RunAsync("id", ["-u", UnprivilegedUser], "/", input: null, cancellationToken);
        if (!user.Succeeded)
        {
            throw PrivateClusterException.With(
                $"Caseload runs as root, PostgreSQL refuses to, and there is no user '{UnprivilegedUser}' to run it. "
                    + $"Start Caseload as an ordinary user, or add the user (useradd --system {UnprivilegedUser})."
            );
        }

        string[][] waysToChangeUser =
        [
            ["setpriv", "--reuid", UnprivilegedUser, "--regid", UnprivilegedUser, "--init-groups", "--"],
            ["runuser", "-u", UnprivilegedUser, "--"],
        ];

        foreach (var prefix in waysToChangeUser)
        {
            var account = new ServerAccount(prefix);
            if ((await account.RunAsync("true", [], "/", input: null, cancellationToken)).Succeeded)
            {
                return account;
            }
        }

        throw PrivateClusterException.With(
            $"Caseload runs as root, PostgreSQL refuses to, and neither setpriv nor runuser can change to the user '{UnprivilegedUser}'. "
                + "Start Caseload as an ordinary user."
        );
    }

    public Task<CommandOutcome> RunAsync(
        string program,
        IEnumerable<string> arguments,
        string workingFolder,
        string? input,
        CancellationToken cancellationToken
    )
    {
        string[] words = [.. _prefix, program, .. arguments];
        return Command.RunAsync(words[0], words[1..], workingFolder, input, cancellationToken);
    }

    /// <summary>Creates the data folder so that the server's user can pass through it but not list it.</summary>
    public async Task PrepareDataFolderAsync(string folder, CancellationToken cancellationToken)
    {
        const UnixFileMode ownerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute;

        try
        {
            if (!Directory.Exists(folder))
            {
                Directory.CreateDirectory(folder);
                File.SetUnixFileMode(folder, ownerOnly);
            }

            if (IsAnotherUser && !Directory.EnumerateFileSystemEntries(folder).Any())
            {
                File.SetUnixFileMode(folder, File.GetUnixFileMode(folder) | UnixFileMode.OtherExecute);
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw PrivateClusterException.With(
                $"The data folder {folder} cannot be created or written: {problem.Message} Choose another with --data.",
                problem
            );
        }

        if (IsAnotherUser)
        {
            await RequirePassageAsync(folder, cancellationToken);
        }
    }

    public async Task CreateOwnFolderAsync(string folder, CancellationToken cancellationToken)
    {
        string[] owner = IsAnotherUser ? ["-o", UnprivilegedUser, "-g", UnprivilegedUser] : [];
        var made = await Command.RunAsync("install", ["-d", "-m", "0700", .. owner, folder], "/", input: null, cancellationToken);

        if (!made.Succeeded)
        {
            throw PrivateClusterException.With($"The folder {folder} cannot be created: {made.Output}");
        }
    }

    private async Task RequirePassageAsync(string folder, CancellationToken cancellationToken)
    {
        var steps = new List<string>();
        for (var step = new DirectoryInfo(folder); step is not null; step = step.Parent)
        {
            steps.Add(step.FullName);
        }

        steps.Reverse();

        foreach (var step in steps)
        {
            if (!(await RunAsync("test", ["-x", step], "/", input: null, cancellationToken)).Succeeded)
            {
                throw PrivateClusterException.With(
                    $"Caseload runs as root, so the server runs as the user '{UnprivilegedUser}', who may not pass through the folder {step} "
                        + $"on the way to {folder}. Choose a data folder elsewhere (for example --data /var/lib/caseload), "
                        + $"allow the passage (chmod o+x {step}), or start Caseload as an ordinary user."
                );
            }
        }
    }
}
