namespace Caseload.Architecture.Tests;

/// <summary>A text file of the repository.</summary>
/// <param name="Path">Its path from the root, with forward slashes.</param>
/// <param name="Text">Its text.</param>
internal sealed record RepositoryFile(string Path, string Text)
{
    internal string[] Lines => Text.ReplaceLineEndings("\n").TrimEnd('\n').Split('\n');

    internal bool IsIn(string folder) => Path.StartsWith(folder + "/", StringComparison.Ordinal);

    internal bool EndsWith(string ending) => Path.EndsWith(ending, StringComparison.Ordinal);
}

/// <summary>The files that git would track: everything under the root but what <c>.gitignore</c> names.</summary>
internal static class Repository
{
    private static readonly Lazy<IReadOnlyList<RepositoryFile>> _texts = new(() => [.. ReadTexts()]);

    internal static string Root { get; } = FindRoot();

    internal static IReadOnlyList<RepositoryFile> Texts => _texts.Value;

    /// <summary>C# that ships: migrations are generated and left out.</summary>
    internal static IEnumerable<RepositoryFile> Code =>
        Texts.Where(file => (file.IsIn("src") || file.IsIn("demo-seed")) && file.EndsWith(".cs") && !file.Path.Contains("/Migrations/"));

    internal static IEnumerable<RepositoryFile> Razor => Texts.Where(file => file.IsIn("src") && file.EndsWith(".razor"));

    internal static IEnumerable<RepositoryFile> Projects => Texts.Where(file => file.EndsWith(".csproj"));

    /// <summary>Names of what lies in the root.</summary>
    internal static IEnumerable<string> TopLevel =>
        Directory
            .EnumerateFileSystemEntries(Root)
            .Select(Path.GetFileName)
            .OfType<string>()
            .Where(name => name != ".git" && !IsIgnored(name));

    internal static bool Exists(string path) => File.Exists(Path.Combine(Root, path));

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "Caseload.sln")))
            {
                return folder.FullName;
            }
        }
        throw new InvalidOperationException("Run the tests from inside the repository: Caseload.sln was not found above them.");
    }

    private static IEnumerable<RepositoryFile> ReadTexts()
    {
        var folders = new Stack<string>([Root]);
        while (folders.TryPop(out var folder))
        {
            foreach (var path in Directory.EnumerateFileSystemEntries(folder))
            {
                var name = Path.GetFileName(path);
                if (name == ".git" || IsIgnored(name))
                {
                    continue;
                }
                if (Directory.Exists(path))
                {
                    folders.Push(path);
                }
                else if (File.ReadAllText(path) is var text && !text.Contains('\0'))
                {
                    yield return new RepositoryFile(Path.GetRelativePath(Root, path).Replace('\\', '/'), text);
                }
            }
        }
    }

    // Two forms are all that the file uses: a folder's name with a slash, and a star with an ending.
    private static bool IsIgnored(string name) =>
        File.ReadLines(Path.Combine(Root, ".gitignore"))
            .Where(line => line.Length > 0 && line[0] != '#')
            .Any(line => line[0] == '*' ? name.EndsWith(line[1..], StringComparison.Ordinal) : name == line.TrimEnd('/'));
}
