using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Calendar;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Digests;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Digests;

/// <summary>A programme of a test's own in Chicago; its digest of week 48 was due on Monday 23 November 2026 at seven.</summary>
internal sealed class DigestSteps
{
    internal const string Week = "2026-W48";

    internal static readonly DateOnly AsOfOn = new(2026, 11, 23);

    /// <summary>Seven in Chicago is one in the afternoon in UTC, in winter.</summary>
    internal static readonly DateTimeOffset At = new(2026, 11, 23, 13, 0, 0, TimeSpan.Zero);

    private readonly StoreFixture _store;
    private int _count;

    private DigestSteps(StoreFixture store, Guid programmeId)
    {
        _store = store;
        ProgrammeId = programmeId;
    }

    internal Guid ProgrammeId { get; }

    internal AlertPolicy Policy { get; set; } = AlertPolicy.Default;

    internal WeeklyDigestJob Job => new(_store.Db, _store.Library, _store.Time);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    internal static async Task<DigestSteps> MakeAsync(StoreFixture store)
    {
        var id = StoreFixture.NewId();
        await store.Db.CreateProgrammeAsync(id, $"Programme {id}", "America/Chicago", StoreFixture.NoonAt, Ct);
        return new DigestSteps(store, id);
    }

    internal CaseloadDbContext Open() => _store.Db.ForJob("test", ProgrammeId);

    /// <summary>Somebody with roles; a clinician's id is the person's.</summary>
    internal async Task<Actor> AddPersonAsync(Role[] roles, string? email = null, string initials = "GF", bool wantsMail = true)
    {
        var actor = await _store.AddPersonAsync(ProgrammeId, roles, $"Person {++_count} Surname");
        await using var context = Open();
        var person = await context.People.SingleAsync(row => row.Id == actor.PersonId, Ct);
        (person.Email, person.WantsDigestMail) = (email, wantsMail);
        if (actor.ClinicianId is { } clinicianId)
        {
            (await context.Clinicians.SingleAsync(row => row.Id == clinicianId, Ct)).Initials = initials;
        }
        await context.SaveChangesAsync(Ct);
        return actor;
    }

    /// <summary>A child with findings on the Moro reflex, seen by nobody else.</summary>
    internal async Task<Child> AddChildAsync(
        string bornOn,
        Guid? clinicianId = null,
        (string On, Response Response)[]? moro = null,
        Action<Child>? change = null,
        Action<CaseloadDbContext, Child>? add = null
    )
    {
        await using var context = Open();
        var child = await StoreFixture.AddChildAsync(context, bornOn);
        child.ClinicianId = clinicianId;
        (child.GivenName, child.FamilyName) = ($"Zephyrine{child.Code[2..]}", $"Quillfeather{child.Code[2..]}");
        change?.Invoke(child);
        foreach (var (on, response) in moro ?? [])
        {
            StoreFixture.AddFinding(context, child, "moro", StoreFixture.Day(on), response);
        }
        add?.Invoke(context, child);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    /// <summary>An alert of a child about the Moro reflex.</summary>
    internal async Task AddAlertAsync(
        Child child,
        DateTimeOffset raisedAt,
        DateTimeOffset? closedAt = null,
        AlertKind kind = AlertKind.Persisting,
        Concern severity = Concern.Act
    )
    {
        await using var context = Open();
        context.Add(
            new Alert
            {
                ProgrammeId = ProgrammeId,
                Id = StoreFixture.NewId(),
                ChildId = child.Id,
                Item = kind is AlertKind.NotVisited or AlertKind.Unassigned ? Alert.WholeChild : "moro",
                Kind = kind,
                Step = 0,
                Severity = severity,
                SinceOn = null,
                Reasons = "[]",
                SetKey = "published@1",
                State = closedAt is null ? AlertState.Open : AlertState.Closed,
                RaisedOn = DateOnly.FromDateTime(raisedAt.UtcDateTime),
                RaisedAt = raisedAt,
                ClosedAt = closedAt,
                ClosedBecause = closedAt is null ? null : AlertEnd.NewFinding,
            }
        );
        await context.SaveChangesAsync(Ct);
    }

    internal async Task<DigestReading> ReadAsync(string week = Week)
    {
        await using var context = Open();
        var rhythm = new DigestRhythm(TimeZoneInfo.FindSystemTimeZoneById("America/Chicago"), Policy.DigestDay, Policy.DigestHour);
        return await DigestReading.ReadAsync(context, _store.Library, rhythm, rhythm.Of(week), Policy, Ct);
    }

    /// <summary>What the whole programme's digest says.</summary>
    internal async Task<DigestContent> ContentAsync(string week = Week) => (await ReadAsync(week)).ForProgramme();

    internal ProgrammeRow Row => new(ProgrammeId, "Programme", "America/Chicago", Policy);

    internal Task<string> RunAsync(Func<int, int?, CancellationToken, Task>? report = null, string week = Week) =>
        Job.RunAsync(new JobProgress(Row, week, report ?? ((_, _, _) => Task.CompletedTask)), Ct);
}
