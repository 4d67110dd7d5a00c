using System.Diagnostics;
using Caseload.Data;
using Caseload.Data.Setup;
using Caseload.DemoSeed;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Testing;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Time.Testing;
using Npgsql;

namespace Caseload.Integration.Tests.Store;

public sealed class DemoCaseloadTests(MigratedPostgres postgres)
{
    public static readonly TheoryData<string> Days = ["2026-11-25", "2026-12-31", "2027-02-28", "2028-02-29", "2027-07-04", "2027-03-14"];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [MemberData(nameof(Days))]
    public async Task Demo_OnAnyDay_CoversEveryStateAndLeavesAManageableList(string day)
    {
        var todayOn = StoreFixture.Day(day);
        await using var loaded = await LoadedDemo.OnAsync(postgres, todayOn);
        await using var context = loaded.Open();

        var children = await context.Children.AsNoTracking().Include(row => row.Exclusions).Include(row => row.Statuses).ToListAsync(Ct);
        var states = children.SelectMany(child => child.Statuses).CountBy(row => row.State).ToDictionary();
        var open = children.Where(child => child.ClosedOn is null).ToList();
        var due = open.Count(child => ChecksOf(child).Any(row => row.CheckFromOn <= todayOn.AddDays(14)));
        var runningOut = open.Count(child => ChecksOf(child).Any(row => row.CheckThroughOn <= todayOn.AddDays(14)));
        var overdue = open.Count(child => ChecksOf(child).Any(row => row.CheckThroughOn < todayOn));
        TestContext.Current.TestOutputHelper!.WriteLine(
            $"{day}: {children.Count} children, {due} with a check open, {runningOut} running out, {overdue} overdue, "
                + $"{await context.Visits.CountAsync(Ct)} visits, {await context.Findings.CountAsync(Ct)} findings, {loaded.Took.TotalMilliseconds:0} ms; "
                + string.Join(", ", states.OrderBy(pair => pair.Key).Select(pair => $"{pair.Key} {pair.Value}"))
        );

        Enum.GetValues<ItemState>().Except(states.Keys).ShouldBeEmpty();
        children.Count.ShouldBe(60);
        due.ShouldBeInRange(10, 26);
        overdue.ShouldBeInRange(3, 10);

        IEnumerable<Data.Statuses.ItemStatus> ChecksOf(Data.Children.Child child)
        {
            var holding = child.Exclusions.Where(row => row.ToExclusion().HoldsOn(todayOn)).Select(row => row.Exclusion).ToHashSet();
            return child.Statuses.Where(row =>
                !ReferenceSets.Default.Find(row.Item)!.ExcludedBy.Any(excluded => holding.Contains(excluded.Exclusion))
            );
        }
    }

    [Fact]
    public async Task Demo_LoadedTwiceElsewhere_IsTheSame()
    {
        await using var one = await LoadedDemo.OnAsync(postgres, StoreFixture.TodayOn);
        await using var other = await LoadedDemo.OnAsync(postgres, StoreFixture.TodayOn);

        (await DescribeAsync(one)).ShouldBe(await DescribeAsync(other));
    }

    [Fact]
    public async Task Demo_LoadedAgain_AddsNothing()
    {
        await using var loaded = await LoadedDemo.OnAsync(postgres, StoreFixture.TodayOn);
        var before = await DescribeAsync(loaded);

        var isAdded = await loaded.LoadAsync(StoreFixture.TodayOn.AddDays(30));

        isAdded.ShouldBeFalse();
        (await DescribeAsync(loaded)).ShouldBe(before);
    }

    [Fact]
    public async Task Demo_Loaded_IsWhatTheDomainAllows()
    {
        var todayOn = StoreFixture.TodayOn;
        await using var loaded = await LoadedDemo.OnAsync(postgres, todayOn);
        await using var context = loaded.Open();
        var children = await context.Children.AsNoTracking().Include(row => row.Concerns).ToDictionaryAsync(row => row.Id, Ct);
        var findings = await context.Findings.AsNoTracking().ToListAsync(Ct);
        var visits = await context.Visits.AsNoTracking().ToListAsync(Ct);

        foreach (var child in children.Values)
        {
            var gestation = child.GestationDays is { } days ? GestationalAge.FromDays(days).Value : (GestationalAge?)null;
            BirthFacts.Create(child.BornOn, gestation, null, todayOn).IsAccepted.ShouldBeTrue();
        }
        foreach (var finding in findings)
        {
            Finding
                .Check(finding.ToFinding(), ReferenceSets.Default, children[finding.ChildId].BornOn, todayOn.AddDays(-1))
                .Refusals.ShouldBeEmpty();
        }
        visits.ShouldAllBe(visit => visit.VisitedOn < todayOn && visit.FinishedAt != null && visit.VisitedOn.DayOfWeek != DayOfWeek.Sunday);
        visits.ShouldAllBe(visit => visit.VisitedOn >= children[visit.ChildId].EnrolledOn);
        findings.ShouldAllBe(finding => finding.RecordedById != null);
        findings.ShouldContain(finding => finding.CorrectsId != null && !finding.IsWithdrawal);
        findings.ShouldContain(finding => finding.IsWithdrawal);
        children.Values.SelectMany(child => child.Concerns).ShouldAllBe(row => ReferenceSets.Default.FindConcern(row.Concern) != null);
        children.Values.DistinctBy(child => child.GivenName + child.FamilyName).Count().ShouldBe(children.Count);
        children.Values.ShouldContain(child => child.GestationDays == null);
        children.Values.ShouldContain(child => child.GestationDays < 25 * 7);
        children.Values.ShouldContain(child => child.GestationDays >= 41 * 7);
        children.Values.Max(child => todayOn.DayNumber - child.BornOn.DayNumber).ShouldBeLessThan(35 * 31);
    }

    [Fact]
    public async Task Demo_Loaded_HasTheStatusesThatARebuildGives()
    {
        await using var loaded = await LoadedDemo.OnAsync(postgres, StoreFixture.TodayOn);
        var before = await DescribeAsync(loaded);
        var statuses = new Data.Statuses.StatusProjection(loaded.Db, new Data.Programmes.ReferenceLibrary());

        await using var context = loaded.Open();
        await context.ItemStatuses.ExecuteDeleteAsync(Ct);
        await statuses.RebuildAsync(context, StoreFixture.TodayOn, Ct);

        (await DescribeAsync(loaded)).ShouldBe(before);
    }

    [Fact]
    public async Task Demo_Loaded_GoesOnCountingCodes()
    {
        await using var loaded = await LoadedDemo.OnAsync(postgres, StoreFixture.TodayOn);
        await using var context = loaded.Open();

        (await Data.Children.ChildCodes.NextAsync(context, Ct)).ShouldBe("K-061");
    }

    /// <summary>A hash of every table's rows, so that nothing is left out of the comparison; the loading's own entries have ids from the clock, and seals and stamps are fresh each time.</summary>
    private static async Task<Dictionary<string, string>> DescribeAsync(LoadedDemo loaded)
    {
        await using var context = loaded.Open();
        var hashes = new Dictionary<string, string>();
        foreach (var table in context.Model.GetEntityTypes().Select(type => type.GetTableName()!))
        {
            var sql = $"""
                select md5(string_agg(row, '|' order by row)) from (
                    select (to_jsonb(t) - array['xmin', 'security_stamp', 'number', 'hash', 'previous_hash', 'last_hash'{FreshIn(
                    table
                )}])::text as row
                    from {table} as t) as rows
                """;
            hashes[table] = (
                await loaded.AskAsync(table == "access_entries" ? sql + " where row not like '%demo-seed%'" : sql)
            ).ToString()!;
        }
        hashes.Count.ShouldBe(37);
        return hashes;
    }

    private static string FreshIn(string table) =>
        table is "alerts" or "alert_steps" or "outgoing_messages" ? ", 'id', 'alert_id', 'key'" : "";

    private sealed class LoadedDemo : IAsyncDisposable
    {
        private readonly TestDatabase _database;
        private readonly NpgsqlDataSource _source;

        private LoadedDemo(TestDatabase database)
        {
            _database = database;
            _source = CaseloadOptions.OpenDataSource(database.AppConnectionString);
            Db = new CaseloadDb(CaseloadOptions.For(_source), new FakeTimeProvider(StoreFixture.NoonAt));
        }

        internal CaseloadDb Db { get; }

        internal TimeSpan Took { get; private set; }

        internal static async Task<LoadedDemo> OnAsync(MigratedPostgres postgres, DateOnly todayOn)
        {
            var loaded = new LoadedDemo(await postgres.CreateDatabaseAsync());
            var watch = Stopwatch.StartNew();
            (await loaded.LoadAsync(todayOn)).ShouldBeTrue();
            loaded.Took = watch.Elapsed;
            return loaded;
        }

        internal Task<bool> LoadAsync(DateOnly todayOn) =>
            DemoCaseload.LoadAsync(Db, todayOn, new FakeTimeProvider(StoreFixture.NoonAt), Ct);

        internal async Task<object> AskAsync(string sql) => (await StoreFixture.AskAsync(_database.OwnerConnectionString, sql))!;

        internal CaseloadDbContext Open() => Db.ForJob("test", DemoCaseload.ProgrammeId);

        public async ValueTask DisposeAsync()
        {
            await _source.DisposeAsync();
            await _database.DisposeAsync();
        }
    }
}
