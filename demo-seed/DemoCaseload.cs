using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;

namespace Caseload.DemoSeed;

/// <summary>An invented programme with months of history, the same for the same today.</summary>
/// <remarks>Every name is made up. Findings come from a simple model of each child's course and pass the same checks as a clinician's.</remarks>
public static class DemoCaseload
{
    /// <summary>The programme's name.</summary>
    public const string ProgrammeName = "Larkfield Early Support (demo)";

    /// <summary>The programme's time zone.</summary>
    public const string TimeZoneId = "America/Chicago";

    /// <summary>The programme's id, the same in every installation.</summary>
    public static Guid ProgrammeId { get; } = new("0197c0de-0000-7000-8000-00000000de30");

    private static readonly AccessPolicy _accessPolicy = AccessPolicy.Default with
    {
        IdleMinutes = 60,
        AdministratorsNeedSecondFactor = false,
        TeamLeadsNeedSecondFactor = false,
        CliniciansNeedSecondFactor = false,
        ObserversNeedSecondFactor = false,
    };

    /// <summary>Today in the demo programme's zone.</summary>
    public static DateOnly TodayOn(TimeProvider clock) =>
        DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(clock.GetUtcNow(), TimeZoneInfo.FindSystemTimeZoneById(TimeZoneId)).DateTime);

    /// <summary>Adds the demo programme, all in one transaction; does nothing when it is there already.</summary>
    /// <param name="db">The store; the application's role suffices.</param>
    /// <param name="todayOn">The day that everything is relative to; nothing is dated on it or after it.</param>
    /// <param name="clock">Tells when it was loaded, for the activity list.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>Whether it was added now.</returns>
    public static async Task<bool> LoadAsync(CaseloadDb db, DateOnly todayOn, TimeProvider clock, CancellationToken ct)
    {
        await using var context = db.ForJob("demo-seed", ProgrammeId);
        if (await context.Programmes.AnyAsync(ct))
        {
            return false;
        }

        var zone = TimeZoneInfo.FindSystemTimeZoneById(TimeZoneId);
        var foundedAt = new DateTimeOffset(todayOn.AddYears(-4), new TimeOnly(15, 0), TimeSpan.Zero);
        CaseloadDb.AddProgramme(context, ProgrammeName, zone.Id, ReviewPolicy.Default, foundedAt);
        // A demo is for looking round: no authenticator to pair first, and an hour to read.
        context.Programmes.Local.Single().AccessPolicy = _accessPolicy;
        var clinicians = AddClinicians(context, foundedAt);

        var interpreter = new Interpreter(ReferenceSets.Default, ReviewPolicy.Default);
        var histories = DemoPeople
            .Children.Select((plan, number) => new DemoHistory(number, plan, ProgrammeId, interpreter, todayOn, zone, clinicians))
            .ToList();
        foreach (var history in histories)
        {
            context.Add(history.Child);
            context.AddRange(history.Exclusions);
            context.AddRange(history.Concerns);
            if (history.Assignment is { } assignment)
            {
                context.Add(assignment);
            }
        }
        context.ChildCodeCounters.Local.Single().LastNumber = histories.Count;
        context.Record("demo-loaded", null, clock.GetUtcNow(), new AccessDetail().With("today", todayOn));

        foreach (var history in histories)
        {
            context.AddRange(history.Visits);
            context.AddRange(history.Recorded);
            context.AddRange(history.Entries);
        }
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        await context.SaveChangesAsync(ct);
        context.ChangeTracker.Clear();
        await DemoAlerts.ReplayAsync(context, new StatusProjection(db, new ReferenceLibrary()), todayOn, clock.GetUtcNow(), ct);
        await transaction.CommitAsync(ct);
        return true;
    }

    private static List<(Guid Id, string Name)> AddClinicians(CaseloadDbContext context, DateTimeOffset foundedAt)
    {
        var ids = new SeededSource(20261124);
        var clinicians = DemoPeople
            .Clinicians.Select(person => new Clinician
            {
                ProgrammeId = ProgrammeId,
                Id = ids.IdAt(foundedAt),
                Name = person.Name,
                Initials = person.Initials,
                Discipline = person.Discipline,
                Languages = person.Languages,
                Zones = person.Zones,
                WorkingDays = person.WorkingDays ?? Clinician.Weekdays,
            })
            .ToList();
        context.AddRange(clinicians);
        context.AddRange(
            clinicians.Select(clinician => Account(clinician.Id, clinician.Name, Role.Clinician, foundedAt, clinicianId: clinician.Id))
        );
        context.AddRange(DemoPeople.Officers.Select(person => Account(ids.IdAt(foundedAt), person.Name, person.Role, foundedAt)));
        return [.. clinicians.Select(clinician => (clinician.Id, clinician.Name))];
    }

    /// <summary>An account that signs in with the given name; the host gives it a fresh password at every start.</summary>
    private static Person Account(Guid id, string name, Role role, DateTimeOffset at, Guid? clinicianId = null)
    {
        var person = Person.New(ProgrammeId, id, name, name.Split(' ')[0].ToLowerInvariant(), [role], at);
        // A domain that no mail server ever reaches.
        person.Email = $"{person.SignInName}@demo.invalid";
        person.ClinicianId = clinicianId;
        return person;
    }
}
