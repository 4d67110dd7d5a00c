using System.Globalization;
using System.Text;
using Caseload.Data.Access;
using Caseload.Data.Papers;
using Caseload.Data.Team;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Summary;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Summaries;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Papers;

/// <summary>Whose children a summary shows, what it leaves behind, and that the command line says the same.</summary>
public sealed class SummaryTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static DateOnly Today => StoreFixture.TodayOn;

    [Fact]
    [Trait("Requirement", "SEC-26")]
    public async Task Reader_WithOwnChildrenOnly_IsGivenOwnChildrenOnly()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician], "Own Clinician");
        var own = await AddChildAsync(clinician.ClinicianId, "=cmd()", "moro");
        var other = await AddChildAsync(null, "Elsewhere", "moro");

        var view = await GetAsync(clinician, new SummaryRequest());
        var csv = await CsvAsync(clinician, new SummaryRequest());

        view.Summary!.Children.Select(child => child.Id).ShouldBe([own]);
        view.Summary.Head.Scope.ShouldBe("The caseload of Own Clinician");
        csv.ShouldContain("\"'=cmd(), Given\"", Case.Sensitive, "a spreadsheet program must not run a name");
        csv.ShouldNotContain("Elsewhere");
        (await GetAsync(store.LeadA, new SummaryRequest())).Summary!.Children.Select(child => child.Id).ShouldContain(other);
    }

    [Fact]
    public async Task Observer_IsGivenCodesWhateverIsAsked()
    {
        var observer = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer], "Odo Server");
        await AddChildAsync(null, "Nameworthy", "moro");

        var view = await GetAsync(observer, new SummaryRequest(WithNames: true));
        var csv = await CsvAsync(observer, new SummaryRequest(WithNames: true));

        view.MayHaveNames.ShouldBeFalse();
        view.Summary!.Children.ShouldAllBe(child => child.Name == null && child.BornOn == null);
        csv.ShouldNotContain("Nameworthy");
        (await CsvAsync(store.LeadA, new SummaryRequest(WithNames: false))).ShouldNotContain("Nameworthy");
        (await CsvAsync(store.LeadA, new SummaryRequest(WithNames: true))).ShouldContain("Nameworthy");
    }

    [Fact]
    public async Task Filters_EachByItself_KeepWhatTheyName()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician], "Filter Clinician");
        var given = await AddChildAsync(clinician.ClinicianId, "Given", null);
        var obligatory = await AddChildAsync(null, "Obligatory", "moro", Response.Obligatory);
        var zoned = await AddChildAsync(null, "Zoned", null, zone: "North shore");
        var toddler = await AddChildAsync(null, "Toddler", null, bornOn: Today.AddMonths(-30));

        (await IdsAsync(new SummaryRequest(ClinicianId: clinician.ClinicianId))).ShouldBe([given]);
        (await IdsAsync(new SummaryRequest(Zone: "North shore"))).ShouldBe([zoned]);
        (await IdsAsync(new SummaryRequest(Band: AgeBand.ThirdYear))).ShouldBe([toddler]);
        (await IdsAsync(new SummaryRequest(State: ItemState.Obligatory))).ShouldBe([obligatory]);
        (await IdsAsync(new SummaryRequest(LeastAlert: Concern.SameDay))).ShouldBe([obligatory]);
        var view = await GetAsync(store.LeadA, new SummaryRequest(ClinicianId: clinician.ClinicianId, Band: AgeBand.UnderSixMonths));
        view.Summary!.Head.Scope.ShouldBe("Filter Clinician, under 6 months");
    }

    [Fact]
    public async Task Days_ThatCannotBe_AreRefusedAtTheirField()
    {
        (await GetAsync(store.LeadA, new SummaryRequest(AsOfOn: Today.AddDays(1))))
            .Refusals.ShouldHaveSingleItem()
            .Field.ShouldBe("AsOfOn");
        (await GetAsync(store.LeadA, new SummaryRequest(AsOfOn: new DateOnly(1999, 12, 31))))
            .Refusals.ShouldHaveSingleItem()
            .Field.ShouldBe("AsOfOn");
        (await GetAsync(store.LeadA, new SummaryRequest(SinceOn: Today))).Refusals.ShouldHaveSingleItem().Field.ShouldBe("SinceOn");
        var (file, refusals) = await Exporter()
            .HandleAsync(store.LeadA, new ExportSummary(new SummaryRequest(SinceOn: Today), SummaryFormat.Csv), Ct);
        (file, refusals.Count).ShouldBe((null, 1));
    }

    [Fact]
    public async Task Export_Always_IsAnEntryOfTheRecordAndTheNextOnesBeginning()
    {
        var lead = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead], "Recorded Leader");
        var childId = await AddChildAsync(null, "Recorded", "moro");
        (await GetAsync(lead, new SummaryRequest())).Summary!.Head.Ask.SinceOn.ShouldBe(Today.AddDays(-28));

        await CsvAsync(lead, new SummaryRequest(AsOfOn: Today.AddDays(-3), WithNames: false));

        (await GetAsync(lead, new SummaryRequest())).Summary!.Head.Ask.SinceOn.ShouldBe(Today.AddDays(-3));
        (await GetAsync(store.LeadA, new SummaryRequest())).Summary!.Head.Ask.SinceOn.ShouldBe(
            Today.AddDays(-28),
            "that was somebody else's"
        );
        await using var context = store.ContextA();
        var entry = await context.AccessEntries.SingleAsync(row => row.What == "summary-exported" && row.PersonId == lead.PersonId, Ct);
        entry.Detail.ShouldContain("\"format\": \"csv\"");
        entry.Detail.ShouldContain("\"names\": false");
        entry.Detail.ShouldNotContain(childId.ToString(), Case.Insensitive, "the child was added later than the day of the summary");
        (await context.AccessEntries.CountAsync(row => row.What == "summary-opened" && row.PersonId == lead.PersonId, Ct)).ShouldBe(2);
    }

    [Theory]
    [InlineData(SummaryFormat.Csv)]
    [InlineData(SummaryFormat.Xlsx)]
    [InlineData(SummaryFormat.Pdf)]
    public async Task Export_WhenCancelled_LeavesNothing(SummaryFormat format)
    {
        var lead = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead], "Cancelling Leader");
        await AddChildAsync(null, "Cancelled", "moro");
        using var cancel = new CancellationTokenSource();
        var before = TemporaryFiles();

        await Should.ThrowAsync<OperationCanceledException>(() =>
            Exporter().HandleAsync(lead, new ExportSummary(new SummaryRequest(), format, new Cancelling(cancel)), cancel.Token)
        );

        TemporaryFiles().Except(before).ShouldBeEmpty();
        await using var context = store.ContextA();
        (await context.AccessEntries.AnyAsync(row => row.What == "summary-exported" && row.PersonId == lead.PersonId, Ct)).ShouldBeFalse();
        (await context.SummaryExports.AnyAsync(row => row.PersonId == lead.PersonId, Ct)).ShouldBeFalse();
    }

    [Fact]
    public async Task CommandLine_SaysWhatThePageSays()
    {
        await AddChildAsync(null, "Commanded", "moro");
        using var folder = new TestFolder();
        var file = Path.Combine(folder.Path, "summary.csv");
        var options = new SummaryOptions
        {
            File = file,
            Format = SummaryFormat.Csv,
            Programme = "Programme A",
            HasNames = true,
        };

        var count = await SummaryCommand.WriteAsync(store.Db, store.Library, options, store.Time, Ct);

        count.ShouldBe((await GetAsync(store.LeadA, new SummaryRequest())).Summary!.Children.Count);
        (await File.ReadAllTextAsync(file, Ct)).ShouldBe(await CsvAsync(store.LeadA, new SummaryRequest(SinceOn: Today.AddDays(-28))));
        await using var context = store.ContextA();
        (await context.AccessEntries.CountAsync(row => row.What == "summary-exported" && row.Who == "summary-command", Ct)).ShouldBe(1);
    }

    [Fact]
    public async Task CommandLine_WithSomethingThatIsNotThere_SaysWhatIs()
    {
        var options = new SummaryOptions { File = "never-written.csv", Format = SummaryFormat.Csv };

        (await RefusedAsync(options)).ShouldContain("Programme A; Programme B");
        (await RefusedAsync(options with { Programme = "Programme C" })).ShouldContain("There is: Programme A");
        (await RefusedAsync(options with { Programme = "Programme A", Clinician = "No Body" })).ShouldBe(
            "There is no clinician \"No Body\"."
        );
        (await RefusedAsync(options with { Programme = "Programme A", AsOfOn = Today.AddDays(2) })).ShouldContain("a day to come");
        (await RefusedAsync(options with { Programme = "Programme A", File = "/nowhere/at/all.csv" })).ShouldContain("cannot be written");
        File.Exists("never-written.csv").ShouldBeFalse();
    }

    [Fact]
    public void CommandLine_Parsed_AsksForWhatItMust()
    {
        HostStart
            .Parse(["summary", "--out", "a.PDF", "--as-of=2026-11-01", "--names"])
            .Summary.ShouldBe(
                new SummaryOptions
                {
                    File = "a.PDF",
                    Format = SummaryFormat.Pdf,
                    AsOfOn = new DateOnly(2026, 11, 1),
                    HasNames = true,
                }
            );
        Refused("summary").ShouldContain("--out");
        Refused("summary", "--out", "a.doc").ShouldContain("--format");
        Refused("summary", "--out", "a", "--format", "doc").ShouldContain("csv, xlsx or pdf");
        Refused("summary", "--out", "a.csv", "--as-of", "yesterday").ShouldContain("2026-11-25");
        Refused("--zone", "Lakes").ShouldContain("summary only");

        static string Refused(params string[] arguments) => Should.Throw<HostStartException>(() => HostStart.Parse(arguments)).Message;
    }

    private async Task<string> RefusedAsync(SummaryOptions options) =>
        (
            await Should.ThrowAsync<HostStartException>(() => SummaryCommand.WriteAsync(store.Db, store.Library, options, store.Time, Ct))
        ).Message;

    private static HashSet<string> TemporaryFiles() => [.. Directory.GetFiles(Path.GetTempPath(), "caseload-*")];

    private ExportSummaryHandler Exporter() => new(store.Db, store.Library, store.Time);

    private Task<SummaryView> GetAsync(Data.Actor actor, SummaryRequest request) =>
        new GetSummaryHandler(store.Db, store.Library, store.Time).HandleAsync(actor, request, Ct);

    private async Task<IEnumerable<Guid>> IdsAsync(SummaryRequest request) =>
        (await GetAsync(store.LeadA, request)).Summary!.Children.Select(child => child.Id);

    private async Task<string> CsvAsync(Data.Actor actor, SummaryRequest request)
    {
        var (file, _) = await Exporter().HandleAsync(actor, new ExportSummary(request, SummaryFormat.Csv), Ct);
        await using (file)
        {
            using var reader = new StreamReader(file!.Content, Encoding.UTF8);
            return await reader.ReadToEndAsync(Ct);
        }
    }

    private async Task<Guid> AddChildAsync(
        Guid? clinicianId,
        string familyName,
        string? item,
        Response response = Response.Typical,
        string? zone = null,
        DateOnly? bornOn = null
    )
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, bornOn ?? Today.AddMonths(-3), 280);
        child.FamilyName = familyName;
        child.Zone = zone;
        if (clinicianId is not null)
        {
            await AssignmentBook.AssignAsync(
                context,
                child,
                new AssignmentWish(StoreFixture.NewId(), clinicianId, Today.AddDays(-10), null),
                Today,
                Ct
            );
        }
        if (item is not null)
        {
            StoreFixture.AddFinding(context, child, item, Today, response);
        }
        await context.SaveChangesAsync(Ct);
        return child.Id;
    }

    private sealed class Cancelling(CancellationTokenSource cancel) : IProgress<SummaryProgress>
    {
        public void Report(SummaryProgress value) => cancel.Cancel();
    }

    private sealed class TestFolder : IDisposable
    {
        internal string Path { get; } = Directory.CreateTempSubdirectory("summary-test-").FullName;

        public void Dispose() => Directory.Delete(Path, recursive: true);
    }
}
