using System.Globalization;
using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Testing;
using Npgsql;

namespace Caseload.Integration.Tests.Store;

/// <summary>A database of a test class's own, reached as the application reaches it, with two programmes.</summary>
public sealed class StoreFixture(MigratedPostgres postgres) : IAsyncLifetime
{
    public const string AppRole = Data.PrivateCluster.PrivateCluster.AppRole;

    public static readonly DateTimeOffset NoonAt = new(2026, 11, 25, 18, 0, 0, TimeSpan.Zero);
    public static readonly DateOnly TodayOn = new(2026, 11, 25);

    private TestDatabase? _database;
    private NpgsqlDataSource? _source;

    public TestDatabase Database => _database!;
    public CaseloadDb Db { get; private set; } = null!;
    public ReferenceLibrary Library { get; } = new();
    public StatusProjection Statuses { get; private set; } = null!;
    public Guid ProgrammeA { get; } = NewId();
    public Guid ProgrammeB { get; } = NewId();

    public async ValueTask InitializeAsync()
    {
        _database = await postgres.CreateDatabaseAsync();
        _source = CaseloadOptions.OpenDataSource(_database.AppConnectionString);
        Db = new CaseloadDb(CaseloadOptions.For(_source));
        Statuses = new StatusProjection(Db, Library);
        await Db.CreateProgrammeAsync(ProgrammeA, "Programme A", "America/Chicago", NoonAt, CancellationToken.None);
        await Db.CreateProgrammeAsync(ProgrammeB, "Programme B", "Europe/Dublin", NoonAt, CancellationToken.None);
    }

    public async ValueTask DisposeAsync()
    {
        await _source!.DisposeAsync();
        await _database!.DisposeAsync();
    }

    public static Guid NewId() => Guid.CreateVersion7(NoonAt);

    public CaseloadDbContext ContextA() => Db.ForJob("test", ProgrammeA);

    public CaseloadDbContext ContextB() => Db.ForJob("test", ProgrammeB);

    /// <summary>A child of the context's programme, added and not saved.</summary>
    public static Task<Child> AddChildAsync(CaseloadDbContext context, string bornOn = "2026-08-01", int? gestationDays = 280) =>
        AddChildAsync(context, Day(bornOn), gestationDays);

    /// <summary>A child of the context's programme, added and not saved.</summary>
    public static async Task<Child> AddChildAsync(CaseloadDbContext context, DateOnly bornOn, int? gestationDays)
    {
        var child = new Child
        {
            ProgrammeId = context.ProgrammeId,
            Id = NewId(),
            Code = await ChildCodes.NextAsync(context, CancellationToken.None),
            GivenName = "Given",
            FamilyName = "Family",
            BornOn = bornOn,
            GestationDays = gestationDays,
            EnrolledOn = bornOn,
            CreatedAt = NoonAt,
            UpdatedAt = NoonAt,
        };
        context.Add(child);
        return child;
    }

    /// <summary>A finished visit with one finding, added and not saved.</summary>
    public static RecordedFinding AddFinding(
        CaseloadDbContext context,
        Child child,
        string item,
        DateOnly observedOn,
        Response response,
        Guid? corrects = null,
        Side side = Side.Both
    )
    {
        var visit = new Visit
        {
            ProgrammeId = context.ProgrammeId,
            Id = NewId(),
            ChildId = child.Id,
            VisitedOn = observedOn,
            StartedAt = NoonAt,
            FinishedAt = NoonAt,
        };
        var finding = new Finding(NewId(), item, observedOn, side, response, BehaviouralState.QuietAlert)
        {
            Corrects = corrects,
            CorrectionReason = corrects is null ? null : "Typed into the wrong line",
        };
        var row = RecordedFinding.From(finding, visit, NoonAt, null, "published@1");
        context.AddRange(visit, row);
        return row;
    }

    public static DateOnly Day(string text) => DateOnly.ParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    public async Task<object?> AskOwnerAsync(string sql) => await AskAsync(Database.OwnerConnectionString, sql);

    public async Task<object?> AskAppAsync(string sql) => await AskAsync(Database.AppConnectionString, sql);

    public static async Task<object?> AskAsync(string connectionString, string sql)
    {
        await using var connection = new NpgsqlConnection(connectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync();
    }
}
