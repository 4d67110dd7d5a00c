namespace Caseload.Data.PrivateCluster;

/// <summary>A lock between processes that the kernel lets go when its holder dies.</summary>
internal static class FileLock
{
    private static readonly TimeSpan RetryAfter = TimeSpan.FromMilliseconds(50);

    public static async Task<FileStream> TakeAsync(string file, TimeSpan timeout, CancellationToken cancellationToken)
    {
        var startedAt = TimeProvider.System.GetTimestamp();

        while (true)
        {
            if (TryTake(file) is { } taken)
            {
                return taken;
            }

            if (TimeProvider.System.GetElapsedTime(startedAt) > timeout)
            {
                throw PrivateClusterException.With(
                    $"Another Caseload process has been starting or stopping the database for {timeout.TotalSeconds:0} seconds "
                        + $"(it holds {file}). Look for it, end it, and start again."
                );
            }

            await Task.Delay(RetryAfter, TimeProvider.System, cancellationToken);
        }
    }

    public static FileStream? TryTake(string file) => TryOpen(file, FileAccess.ReadWrite, FileShare.None);

    /// <summary>Several holders at once; <see cref="TryTake"/> succeeds only when there is none.</summary>
    public static FileStream? TryShare(string file) => TryOpen(file, FileAccess.Read, FileShare.Read);

    private static FileStream? TryOpen(string file, FileAccess access, FileShare share)
    {
        try
        {
            return new FileStream(file, FileMode.OpenOrCreate, access, share);
        }
        catch (UnauthorizedAccessException problem)
        {
            throw PrivateClusterException.With($"The file {file} cannot be opened: {problem.Message}", problem);
        }
        catch (DirectoryNotFoundException problem)
        {
            throw PrivateClusterException.With($"The file {file} cannot be opened: {problem.Message}", problem);
        }
        catch (IOException)
        {
            return null;
        }
    }
}
