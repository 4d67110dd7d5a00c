using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Digests;
using Caseload.Data.Mail;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Domain.Calendar;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Platform.Digests;

/// <summary>Makes every clinician's and every team lead's digest of a week, and the mail that brings it.</summary>
/// <remarks>
/// Each digest is saved with its mail in a transaction of its own, under a key that allows one for a person, a scope and a week. So a run that
/// broke off goes on where it stopped, and two at once share the work.
/// </remarks>
public sealed class WeeklyDigestJob(CaseloadDb db, ReferenceLibrary library, TimeProvider time) : ProgrammeJob
{
    /// <inheritdoc />
    public override string Name => "weekly-digest";

    /// <inheritdoc />
    public override string Title => "Weekly digest";

    /// <inheritdoc />
    public override string Purpose => "Makes each clinician's and team lead's digest of the week and hands it to the mail.";

    /// <inheritdoc />
    public override TimeSpan AskedEvery => TimeSpan.FromMinutes(5);

    /// <inheritdoc />
    public override string? DuePeriod(ProgrammeRow programme, DateTimeOffset at) => RhythmOf(programme).NewestAt(at).Week;

    /// <inheritdoc />
    public override DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at) => RhythmOf(programme).NextAfter(at).At;

    /// <inheritdoc />
    public override async Task<string> RunAsync(JobProgress run, CancellationToken ct)
    {
        var rhythm = RhythmOf(run.Programme);
        var digest = rhythm.Of(run.Period);
        var readers = await ReadersAsync(run.Programme.Id, digest.Week, ct);
        var missing = readers.Where(reader => !reader.HasDigest).ToList();
        var (doneCount, madeCount, mailCount) = (readers.Count - missing.Count, 0, 0);
        await run.ReportAsync(doneCount, readers.Count, ct);
        if (missing.Count > 0)
        {
            var reading = await ReadAsync(run.Programme, rhythm, digest, ct);
            foreach (var reader in missing)
            {
                var content = reader.ClinicianId is { } id ? reading.ForClinician(id) : reading.ForProgramme();
                var (isMade, isMailed) = await SaveAsync(run.Programme.Id, reader, content, ct);
                madeCount += isMade ? 1 : 0;
                mailCount += isMailed ? 1 : 0;
                await run.ReportAsync(++doneCount, readers.Count, ct);
            }
        }
        return $"{DigestWords.Count(madeCount, "digest", "digests")} made, {DigestWords.Number(mailCount)} by mail, "
            + $"{DigestWords.Number(readers.Count - madeCount)} there already";
    }

    private static DigestRhythm RhythmOf(ProgrammeRow programme) =>
        new(TimeZoneInfo.FindSystemTimeZoneById(programme.TimeZoneId), programme.AlertPolicy.DigestDay, programme.AlertPolicy.DigestHour);

    private async Task<DigestReading> ReadAsync(ProgrammeRow programme, DigestRhythm rhythm, DigestWeek digest, CancellationToken ct)
    {
        await using var context = db.ForJob(Name, programme.Id);
        return await DigestReading.ReadAsync(context, library, rhythm, digest, programme.AlertPolicy, ct);
    }

    /// <summary>Everybody who gets a digest, team leads last, and whether it is there already.</summary>
    private async Task<List<Reader>> ReadersAsync(Guid programmeId, string week, CancellationToken ct)
    {
        await using var context = db.ForJob(Name, programmeId);
        var people = await context
            .People.AsNoTracking()
            .Where(person => person.DisabledAt == null)
            .OrderBy(person => person.Id)
            .Select(person => new
            {
                person.Id,
                person.Roles,
                person.ClinicianId,
                Address = person.WantsDigestMail ? person.Email : null,
            })
            .ToListAsync(ct);
        var made = (
            await context.Digests.Where(row => row.Week == week).Select(row => new { row.PersonId, row.Scope }).ToListAsync(ct)
        ).ToHashSet();
        return
        [
            .. people
                .Where(person => person.Roles.Contains(Role.Clinician) && person.ClinicianId is not null)
                .Select(person => ReaderOf(person.Id, DigestScope.Clinician, person.ClinicianId, person.Address)),
            .. people
                .Where(person => person.Roles.Contains(Role.TeamLead))
                .Select(person => ReaderOf(person.Id, DigestScope.Programme, null, person.Address)),
        ];

        Reader ReaderOf(Guid personId, DigestScope scope, Guid? clinicianId, string? address) =>
            new(personId, scope, clinicianId, address, made.Contains(new { PersonId = personId, Scope = scope }));
    }

    /// <summary>Saves a digest and its mail.</summary>
    /// <returns>Whether it was made, which it is not when another run was first, and whether there is mail.</returns>
    private async Task<(bool IsMade, bool IsMailed)> SaveAsync(Guid programmeId, Reader reader, DigestContent content, CancellationToken ct)
    {
        await using var context = db.ForJob(Name, programmeId);
        var at = time.GetUtcNow();
        var id = Guid.CreateVersion7(at);
        var digest = new Data.Digests.Digest
        {
            ProgrammeId = programmeId,
            Id = id,
            PersonId = reader.PersonId,
            Scope = reader.Scope,
            Week = content.Week,
            AsOfOn = content.AsOfOn,
            MadeAt = at,
            Content = content.ToJson(),
            Subject = DigestWords.SubjectOf(content),
            Text = DigestText.Write(content, id),
            Html = DigestHtml.Write(content, id, hasStop: false),
        };
        context.Add(digest);
        var isMailed = OutgoingMessages.Announce(
            context,
            new MessageRecipient(reader.PersonId, reader.Address),
            MessageKind.Digest,
            $"digest/{digest.Week}/{digest.Scope.ToWord()}/{digest.PersonId}",
            new MessageContent(digest.Subject, $"{digest.Text}\n{DigestText.StopFooter}", DigestHtml.Write(content, id, hasStop: true)),
            isOptional: true,
            at
        );
        context.Record(
            "digest-made",
            null,
            at,
            new AccessDetail().With("digest", id).With("person", reader.PersonId).WithAll("children", content.MentionedIds())
        );
        try
        {
            await context.SaveChangesAsync(ct);
            return (true, isMailed);
        }
        catch (DbUpdateException conflict)
            when (conflict.InnerException is PostgresException { ConstraintName: "ux_digests_week" or "ux_outgoing_messages_key" })
        {
            // Another run made it meanwhile.
            return (false, false);
        }
    }

    private sealed record Reader(Guid PersonId, DigestScope Scope, Guid? ClinicianId, string? Address, bool HasDigest);
}
