namespace Caseload.Web.Platform;

/// <summary>A file that was made for somebody to take away.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Content">What it holds, from the start; its disposal removes it from the disk.</param>
public sealed record MadeFile(string Name, Stream Content) : IAsyncDisposable
{
    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    /// <summary>Makes a file that nobody else sees, and hands it out once it is noted; when anything fails, nothing is left.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="write">Writes what it holds.</param>
    /// <param name="note">Notes that it was made.</param>
    public static async Task<MadeFile> MakeAsync(string name, Func<Stream, Task> write, Func<Task> note)
    {
        var content = Open();
        try
        {
            await write(content);
            content.Position = 0;
            await note();
            return new MadeFile(name, content);
        }
        catch
        {
            await content.DisposeAsync();
            throw;
        }
    }

    /// <inheritdoc />
    public ValueTask DisposeAsync() => Content.DisposeAsync();

    private static FileStream Open()
    {
        var options = new FileStreamOptions
        {
            Mode = FileMode.CreateNew,
            Access = FileAccess.ReadWrite,
            Options = FileOptions.DeleteOnClose | FileOptions.Asynchronous,
        };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = OwnerOnly;
        }
        return new FileStream(Path.Combine(Path.GetTempPath(), "caseload-" + Path.GetRandomFileName()), options);
    }
}
