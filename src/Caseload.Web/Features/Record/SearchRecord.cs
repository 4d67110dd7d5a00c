using System.Text.RegularExpressions;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Record;

/// <summary>Searches the access record.</summary>
/// <param name="PersonId">Whose entries; null for everybody's.</param>
/// <param name="ChildCode">About which child; empty for all.</param>
/// <param name="Group">What about; null for everything.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day.</param>
/// <param name="Page">The page, from 0.</param>
public sealed record SearchRecord(Guid? PersonId, string ChildCode, AccessGroup? Group, DateOnly? FromOn, DateOnly? ThroughOn, int Page);

/// <summary>An entry in the list.</summary>
/// <param name="Number">Its place in the record.</param>
/// <param name="At">When, by the programme's clocks.</param>
/// <param name="Who">The person or the job.</param>
/// <param name="What">What was done, in plain words.</param>
/// <param name="ChildId">The child, when its record still exists.</param>
/// <param name="ChildCode">The child's code, also of a destroyed record.</param>
/// <param name="Why">Why the person may, in plain words.</param>
/// <param name="Address">From where.</param>
public sealed record RecordRow(
    long Number,
    DateTimeOffset At,
    string Who,
    string What,
    Guid? ChildId,
    string? ChildCode,
    string Why,
    string? Address
);

/// <summary>A person to search for.</summary>
/// <param name="Id">The person.</param>
/// <param name="Name">The name.</param>
public sealed record RecordPerson(Guid Id, string Name);

/// <summary>A page of entries, newest first.</summary>
/// <param name="Rows">The entries.</param>
/// <param name="HasMore">Whether there are older ones.</param>
/// <param name="People">Everybody who has an account.</param>
/// <param name="Refusals">What is wrong with the search.</param>
public sealed record RecordFindings(
    IReadOnlyList<RecordRow> Rows,
    bool HasMore,
    IReadOnlyList<RecordPerson> People,
    IReadOnlyList<Refusal> Refusals
);

/// <summary>Searches the access record; the search stands in it as well.</summary>
public sealed class SearchRecordHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Entries on a page.</summary>
    public const int PageSize = 50;

    /// <summary>Searches.</summary>
    public async Task<RecordFindings> HandleAsync(Actor actor, SearchRecord request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.SearchAccessRecord, ct);
        var people = await context
            .People.AsNoTracking()
            .OrderBy(person => person.Name)
            .Select(person => new RecordPerson(person.Id, person.Name))
            .ToListAsync(ct);
        if (request.FromOn > request.ThroughOn)
        {
            return new RecordFindings([], false, people, [new Refusal("record-through", "The last day lies before the first.")]);
        }
        Guid? childId = null;
        if (request.ChildCode.Trim() is { Length: > 0 } code)
        {
            childId = await FindChildAsync(context, code.ToUpperInvariant(), ct);
            if (childId is null)
            {
                return new RecordFindings([], false, people, [new Refusal("record-child", "No child of this programme has this code.")]);
            }
        }
        await context.RecordLookAsync("record-searched", childId, time.GetUtcNow(), ct);
        var entries = await Matching(context.AccessEntries.AsNoTracking(), request, childId, actor.TimeZone)
            .OrderByDescending(entry => entry.Number)
            .Skip(request.Page * PageSize)
            .Take(PageSize + 1)
            .ToListAsync(ct);
        var shown = entries.Take(PageSize).ToList();
        var ids = shown.Where(entry => entry.ChildId is not null).Select(entry => entry.ChildId!.Value).Distinct().ToList();
        var living = await context
            .Children.Where(child => ids.Contains(child.Id))
            .ToDictionaryAsync(child => child.Id, child => child.Code, ct);
        var gone = await context
            .ChildTombstones.Where(row => ids.Contains(row.ChildId))
            .ToDictionaryAsync(row => row.ChildId, row => row.Code, ct);
        var rows = shown.Select(entry =>
        {
            var about = entry.ChildId ?? Guid.Empty;
            return new RecordRow(
                entry.Number ?? 0,
                ProgrammeDays.In(entry.At, actor.TimeZone),
                entry.Who,
                AccessWords.Sentence(entry.What, entry.Detail),
                living.ContainsKey(about) ? about : null,
                living.GetValueOrDefault(about) ?? gone.GetValueOrDefault(about),
                AccessWords.Reason(entry.Why),
                entry.Address
            );
        });
        return new RecordFindings([.. rows], entries.Count > PageSize, people, []);
    }

    private static async Task<Guid?> FindChildAsync(CaseloadDbContext context, string code, CancellationToken ct) =>
        await context.Children.Where(child => child.Code == code).Select(child => (Guid?)child.Id).SingleOrDefaultAsync(ct)
        ?? await context.ChildTombstones.Where(row => row.Code == code).Select(row => (Guid?)row.ChildId).SingleOrDefaultAsync(ct);

    private static IQueryable<AccessEntry> Matching(IQueryable<AccessEntry> entries, SearchRecord request, Guid? childId, TimeZoneInfo zone)
    {
        if (request.PersonId is { } personId)
        {
            entries = entries.Where(entry => entry.PersonId == personId);
        }
        if (childId is { } id)
        {
            var listed = $$"""{"children":["{{id}}"]}""";
            entries = entries.Where(entry => entry.ChildId == id || EF.Functions.JsonContains(entry.Detail, listed));
        }
        if (request.Group is { } group)
        {
            // Translated to PostgreSQL's own operator; nothing here is matched by .NET.
#pragma warning disable MA0009, MA0110, SYSLIB1045
            entries = AccessWords.PatternOf(group) is { } pattern
                ? entries.Where(entry => Regex.IsMatch(entry.What, pattern))
                : entries.Where(entry => !Regex.IsMatch(entry.What, AccessWords.NotChanged));
#pragma warning restore MA0009, MA0110, SYSLIB1045
        }
        if (request.FromOn is { } from)
        {
            var fromAt = ProgrammeDays.StartOf(from, zone);
            entries = entries.Where(entry => entry.At >= fromAt);
        }
        if (request.ThroughOn is { } through)
        {
            var untilAt = ProgrammeDays.EndOf(through, zone);
            entries = entries.Where(entry => entry.At < untilAt);
        }
        return entries;
    }
}
