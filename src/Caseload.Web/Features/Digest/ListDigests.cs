using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Digests;
using Caseload.Domain.Calendar;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Digest;

/// <summary>Asks for past digests.</summary>
/// <param name="PersonId">For whom they were made; null for the person who asks.</param>
/// <param name="Scope">Whose children they speak of; null for the widest there is.</param>
public sealed record ListDigests(Guid? PersonId, DigestScope? Scope);

/// <summary>Somebody for whom digests were made.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="Scope">Whose children they speak of.</param>
/// <param name="Name">The person's name.</param>
/// <param name="NewestId">The newest of them.</param>
public sealed record DigestReader(Guid PersonId, DigestScope Scope, string Name, Guid NewestId);

/// <summary>A past digest.</summary>
/// <param name="Id">The digest.</param>
/// <param name="Week">Its ISO week.</param>
/// <param name="AsOfOn">Its day.</param>
public sealed record DigestRow(Guid Id, string Week, DateOnly AsOfOn);

/// <summary>Past digests.</summary>
/// <param name="Readers">Everybody whose digests the person may read.</param>
/// <param name="Shown">Whose are listed; null when there are none.</param>
/// <param name="Rows">The digests, newest first.</param>
/// <param name="NextAt">When the next ones are made, by the programme's clocks.</param>
public sealed record DigestHistory(
    IReadOnlyList<DigestReader> Readers,
    DigestReader? Shown,
    IReadOnlyList<DigestRow> Rows,
    DateTimeOffset NextAt
);

/// <summary>Lists past digests. Nothing of a child is in the list.</summary>
public sealed class ListDigestsHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Lists.</summary>
    public async Task<DigestHistory> HandleAsync(Actor actor, ListDigests request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadDigests, ct);
        var mayReadAll = context.ReadsProgramme;
        // What was made for a team lead is read as long as somebody leads, what was made for a clinician as long as it is the own.
        var visible = context
            .Digests.AsNoTracking()
            .Where(row => mayReadAll || (row.PersonId == actor.PersonId && row.Scope == DigestScope.Clinician));
        var newest = await visible
            .GroupBy(row => new { row.PersonId, row.Scope })
            .Select(group =>
                group
                    .OrderByDescending(row => row.Week)
                    .Select(row => new
                    {
                        row.PersonId,
                        row.Scope,
                        row.Id,
                    })
                    .First()
            )
            .ToListAsync(ct);
        var ids = newest.Select(row => row.PersonId).ToHashSet();
        var names = await context.People.Where(person => ids.Contains(person.Id)).ToDictionaryAsync(row => row.Id, row => row.Name, ct);
        var readers = newest
            .Select(row => new DigestReader(row.PersonId, row.Scope, names.GetValueOrDefault(row.PersonId, "Somebody who left"), row.Id))
            .OrderByDescending(reader => reader.PersonId == actor.PersonId)
            .ThenByDescending(reader => reader.Scope)
            .ThenBy(reader => reader.Name, StringComparer.Ordinal)
            .ToList();
        var shown =
            request.PersonId is null && request.Scope is null
                ? readers.FirstOrDefault()
                : readers.Find(reader =>
                    reader.PersonId == (request.PersonId ?? actor.PersonId) && (request.Scope is null || reader.Scope == request.Scope)
                );
        var rows = shown is null
            ? []
            : await visible
                .Where(row => row.PersonId == shown.PersonId && row.Scope == shown.Scope)
                .OrderByDescending(row => row.Week)
                .Select(row => new DigestRow(row.Id, row.Week, row.AsOfOn))
                .ToListAsync(ct);
        var policy = await context.Programmes.Select(programme => programme.AlertPolicy).SingleAsync(ct);
        var rhythm = new DigestRhythm(actor.TimeZone, policy.DigestDay, policy.DigestHour);
        return new DigestHistory(readers, shown, rows, ProgrammeDays.In(rhythm.NextAfter(time.GetUtcNow()).At, actor.TimeZone));
    }
}
