using Caseload.Data.Mail;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Mail;
using MimeKit;

namespace Caseload.Integration.Tests.Mail;

/// <summary>Mail that is written to files, and what is kept for how long.</summary>
public sealed class MailFolderTests(StoreFixture store) : IClassFixture<StoreFixture>, IDisposable
{
    private readonly string _data = Directory.CreateTempSubdirectory("caseload-mail-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_data, recursive: true);

    [Fact]
    public async Task Files_WhenReadAgain_AreTheRows()
    {
        var steps = await MailSteps.MakeAsync(store);
        var folder = new MailFolder(_data);
        await steps.WriteAsync(subject: "Ärger mit „Müll“", isOptional: true);
        await steps.WriteAsync("second@example.org", subject: "A second one");

        (await steps.DispatchAsync(folder)).ShouldBe(new DispatchCounts(2, 0, 0));

        var files = Directory.GetFiles(folder.Place);
        folder.CountFiles().ShouldBe(2);
        files.ShouldAllBe(file => file.EndsWith(".eml", StringComparison.Ordinal));
        foreach (var row in await steps.ReadAllAsync())
        {
            var file = files.Single(file => file.Contains(row.Id.ToString("N"), StringComparison.Ordinal));
            Path.GetFileName(file).ShouldBe($"{row.CreatedAt:yyyy-MM-dd'T'HHmmss'Z'}-{row.Id:N}.eml");
            var message = await MimeMessage.LoadAsync(file, Ct);
            message.Subject.ShouldBe(row.Subject);
            message.To.Mailboxes.ShouldHaveSingleItem().Address.ShouldBe(row.Address);
            message.MessageId.ShouldBe(MailSteps.IdOf(row.Id));
            message.Date.ShouldBe(row.CreatedAt);
            var read = MailSteps.Composer.Read(row);
            message.TextBody!.ReplaceLineEndings("\n")[..30].ShouldBe(read.Text[..30]);
            message.HtmlBody!.ShouldStartWith("<p>Open <a href=\"https://caseload.example.org/alerts\">");
            message.Headers.Contains(HeaderId.ListUnsubscribe).ShouldBe(row.IsOptional);
        }
    }

    [Fact]
    public async Task Files_OfHealthRecords_AreTheOwnersOnly()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }
        var steps = await MailSteps.MakeAsync(store);
        var folder = new MailFolder(_data);
        await steps.WriteAsync();

        await steps.DispatchAsync(folder);

        File.GetUnixFileMode(folder.Place).ShouldBe(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        File.GetUnixFileMode(Directory.GetFiles(folder.Place).ShouldHaveSingleItem())
            .ShouldBe(UnixFileMode.UserRead | UnixFileMode.UserWrite);
    }

    [Fact]
    public async Task File_WrittenAgainAfterACrash_TakesThePlaceOfTheFirst()
    {
        var steps = await MailSteps.MakeAsync(store);
        var folder = new MailFolder(_data);
        await steps.WriteAsync();
        var dead = new DeadWay(folder, isAfterTaking: true);
        _ = steps.DispatchAsync(dead);
        await dead.Reached.WaitAsync(TimeSpan.FromSeconds(20), Ct);

        steps.Time.Advance(OutboxDispatcher.Lease);
        (await steps.DispatchAsync(folder)).ShouldBe(new DispatchCounts(1, 0, 0));

        folder.CountFiles().ShouldBe(1);
    }

    [Fact]
    public async Task Folder_ThatCannotBeMade_CostsAnAttempt()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        await File.WriteAllTextAsync(Path.Combine(_data, "mail"), "a file where the folder should be", Ct);

        (await steps.DispatchAsync(new MailFolder(_data))).ShouldBe(new DispatchCounts(0, 1, 0));

        (await steps.ReadAsync(id)).LastError.ShouldBe("The folder for mail in the data folder cannot be made or written to.");
    }

    [Fact]
    public async Task Job_SendsWhatWaits_AndRemovesWhatWasSentNinetyDaysAgo()
    {
        var steps = await MailSteps.MakeAsync(store);
        var folder = new MailFolder(_data);
        var job = new MailDispatchJob(steps.Dispatcher(folder), folder, store.Db, steps.Time);
        var programme = (await store.Db.ListProgrammesAsync(Ct)).Single(row => row.Id == steps.ProgrammeId);
        var old = await steps.WriteAsync();
        var parked = await steps.WriteAsync("no address");

        (await job.RunAsync(programme, Ct)).ShouldBe("1 sent, 1 parked.");
        (await job.RunAsync(programme, Ct)).ShouldBeNull();
        steps.Time.Advance(MailDispatchJob.Kept - TimeSpan.FromHours(1));
        await job.RunAsync(programme, Ct);
        (await steps.ReadAllAsync()).Count.ShouldBe(2);
        var fresh = await steps.WriteAsync();
        steps.Time.Advance(TimeSpan.FromSeconds(1));
        (await job.RunAsync(programme, Ct)).ShouldBe("1 sent.");

        (await steps.ReadAllAsync()).Select(row => row.Id).ShouldBe([parked, fresh], ignoreOrder: true);
        Directory.GetFiles(folder.Place).ShouldHaveSingleItem().ShouldContain(fresh.ToString("N"));
        old.ShouldNotBe(fresh);
    }
}
