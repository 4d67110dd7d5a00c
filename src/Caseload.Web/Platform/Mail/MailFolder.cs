using System.Globalization;
using MimeKit;

namespace Caseload.Web.Platform.Mail;

/// <summary>Writes messages to files that any mail program opens; how mail is "sent" while no mail server is set.</summary>
/// <remarks>A message that is written again, after a crash, takes the place of its first file.</remarks>
public sealed class MailFolder(string dataFolder) : IMailTransport
{
    private const string Ending = ".eml";
    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    /// <summary>Where the files are.</summary>
    public string Place { get; } = Path.GetFullPath(Path.Combine(dataFolder, "mail"));

    /// <summary>How many there are.</summary>
    public int CountFiles() => Directory.Exists(Place) ? Directory.EnumerateFiles(Place, "*" + Ending).Count() : 0;

    /// <summary>Removes files that were written before a moment: they may tell of children.</summary>
    public void RemoveOld(DateTimeOffset before)
    {
        if (!Directory.Exists(Place))
        {
            return;
        }
        // Names begin with the time of writing, in an order that the alphabet keeps.
        var first = TimeOf(before);
        foreach (
            var file in Directory
                .EnumerateFiles(Place, "*" + Ending + "*")
                .Where(file => string.CompareOrdinal(Path.GetFileName(file).TrimStart('.'), first) < 0)
        )
        {
            File.Delete(file);
        }
    }

    /// <inheritdoc />
    public Task<IMailHandover> OpenAsync(CancellationToken ct)
    {
        try
        {
            if (OperatingSystem.IsWindows())
            {
                Directory.CreateDirectory(Place);
            }
            else
            {
                Directory.CreateDirectory(Place, OwnerOnly | UnixFileMode.UserExecute);
            }
            return Task.FromResult<IMailHandover>(new Handover(Place));
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new MailTroubleException("The folder for mail in the data folder cannot be made or written to.");
        }
    }

    private static string TimeOf(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd'T'HHmmss'Z'", CultureInfo.InvariantCulture);

    private sealed class Handover(string place) : IMailHandover
    {
        private static readonly FormatOptions _format = WithInternetLines();

        public async Task<SendAnswer> SendAsync(MimeMessage message, CancellationToken ct)
        {
            var name = $"{TimeOf(message.Date)}-{message.MessageId!.Split('@')[0]}{Ending}";
            var unfinished = Path.Combine(place, "." + name + ".part");
            try
            {
                var options = new FileStreamOptions
                {
                    Mode = FileMode.Create,
                    Access = FileAccess.Write,
                    Options = FileOptions.Asynchronous,
                };
                if (!OperatingSystem.IsWindows())
                {
                    options.UnixCreateMode = OwnerOnly;
                }
                await using (var file = new FileStream(unfinished, options))
                {
                    message.Prepare(EncodingConstraint.SevenBit);
                    await message.WriteToAsync(_format, file, ct);
                    await file.FlushAsync(ct);
                    RandomAccess.FlushToDisk(file.SafeFileHandle);
                }
                File.Move(unfinished, Path.Combine(place, name), overwrite: true);
                return SendAnswer.Taken;
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
            {
                return new SendAnswer(SendVerdict.Broken, "The file could not be written. Is the disk full, or the data folder read-only?");
            }
        }

        public ValueTask DisposeAsync() => ValueTask.CompletedTask;

        private static FormatOptions WithInternetLines()
        {
            var format = FormatOptions.Default.Clone();
            format.NewLineFormat = NewLineFormat.Dos;
            return format;
        }
    }
}
