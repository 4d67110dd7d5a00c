using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Testing;
using Caseload.Web.Platform;
using Microsoft.Extensions.Time.Testing;
using Npgsql;

namespace Caseload.Integration.Tests.Store;

/// <summary>A database of a test class's own, reached as the application reaches it, with two programmes.</summary>
public sealed class StoreFixture(MigratedPostgres postgres) : IAsyncLifetime, ISavedListener
{
    public const string AppRole = Data.PrivateCluster.PrivateCluster.AppRole;

    public static readonly DateTimeOffset NoonAt = new(2026, 11, 25, 18, 0, 0, TimeSpan.Zero);
    public static readonly DateOnly TodayOn = new(2026, 11, 25);

    private TestDatabase? _database;
    private NpgsqlDataSource? _source;

    public TestDatabase Database => _database!;
    public CaseloadDb Db { get; private set; } = null!;

    /// <summary>Tells when alerts were saved through <see cref="Db"/>.</summary>
    public ChangeNotifier Notifier { get; } = new();

    /// <summary>How often it was told that messages wait.</summary>
    public int MessagesTold { get; private set; }

    /// <summary>The clock of the store; it stands until a test moves it.</summary>
    public FakeTimeProvider Time { get; } = new(NoonAt);

    /// <summary>Somebody who may do everything in programme A, under a sign-in that holds.</summary>
    public Actor LeadA { get; private set; } = null!;

    /// <summary>Somebody who may do everything in programme B, and nothing in A.</summary>
    public Actor LeadB { get; private set; } = null!;

    public ReferenceLibrary Library { get; } = new();
    public StatusProjection Statuses { get; private set; } = null!;
    public Guid ProgrammeA { get; } = NewId();
    public Guid ProgrammeB { get; } = NewId();

    public async ValueTask InitializeAsync()
    {
        _database = await postgres.CreateDatabaseAsync();
        _source = CaseloadOptions.OpenDataSource(_database.AppConnectionString);
        Db = new CaseloadDb(CaseloadOptions.For(_source), Time, this);
        Statuses = new StatusProjection(Db, Library);
        await Db.CreateProgrammeAsync(ProgrammeA, "Programme A", "America/Chicago", NoonAt, CancellationToken.None);
        await Db.CreateProgrammeAsync(ProgrammeB, "Programme B", "Europe/Dublin", NoonAt, CancellationToken.None);
        LeadB = await AddPersonAsync(ProgrammeB, [Role.TeamLead, Role.Administrator]);
        LeadA = await AddPersonAsync(ProgrammeA, [Role.TeamLead, Role.Administrator]);
    }

    public async ValueTask DisposeAsync()
    {
        await _source!.DisposeAsync();
        await _database!.DisposeAsync();
    }

    public void AlertsSaved(Guid programmeId) => Notifier.Changed(programmeId);

    public void MessagesSaved(Guid programmeId) => MessagesTold++;

    public static Guid NewId() => Guid.CreateVersion7(NoonAt);

    public CaseloadDbContext ContextA() => Db.ForJob("test", ProgrammeA);

    public CaseloadDbContext ContextB() => Db.ForJob("test", ProgrammeB);

    /// <summary>A person with roles, signed in; a clinician gets a clinician's row with the same id.</summary>
    public async Task<Actor> AddPersonAsync(Guid programmeId, IReadOnlyList<Role> roles, string name = "Given Family")
    {
        await using var context = Db.ForJob("test", programmeId);
        var at = Time.GetUtcNow();
        var id = Guid.CreateVersion7(at);
        var person = Person.New(programmeId, id, name, $"person-{id}", roles, at);
        if (roles.Contains(Role.Clinician))
        {
            context.Add(
                new Clinician
                {
                    ProgrammeId = programmeId,
                    Id = id,
                    Name = name,
                    Initials = "GF",
                    Discipline = Discipline.OccupationalTherapy,
                }
            );
            person.ClinicianId = id;
        }
        var signIn = new SignIn
        {
            ProgrammeId = programmeId,
            Id = Guid.CreateVersion7(at),
            PersonId = id,
            StartedAt = at,
            LastSeenAt = at,
            ExpiresAt = at.AddHours(12),
            Method = SignInMethod.Password,
            Address = "192.0.2.1",
            Device = "a test",
        };
        context.AddRange(person, signIn);
        await context.SaveChangesAsync();
        return (await Db.FindActorAsync(id, signIn.Id, CancellationToken.None))!;
    }

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

    /// <summary>Asks as the application does when it works for programme A.</summary>
    public async Task<object?> AskAppAsync(string sql) =>
        await AskAsync(
            Database.AppConnectionString,
            $"""
            set caseload.purpose = 'job'; set caseload.programme = '{ProgrammeA}'; set caseload.reads = 'programme';
            set caseload.writes = 'programme'; {sql}
            """
        );

    public static async Task<object?> AskAsync(string connectionString, string sql)
    {
        await using var connection = new NpgsqlConnection(connectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync();
    }
}
