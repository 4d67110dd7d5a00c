using System.Security.Cryptography;
using System.Text;
using Caseload.Data;
using Caseload.Data.Team;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.EntityFrameworkCore;
using Microsoft.Net.Http.Headers;

namespace Caseload.Web.Platform.VisitCalendar;

/// <summary>Answers calendar programs, which know nothing but an address that nobody can guess.</summary>
public sealed class CalendarFeeds(CaseloadDb db, TimeProvider time)
{
    /// <summary>Where feeds stand; the secret follows.</summary>
    public const string Path = "/calendar/";

    /// <summary>How far back visits are shown.</summary>
    private const int DaysBack = 28;

    private static readonly TimeSpan _betweenNotes = TimeSpan.FromHours(1);

    /// <summary>A secret nobody can guess: 256 random bits in letters that an address may hold.</summary>
    public static string NewSecret() => WebEncoders.Base64UrlEncode(RandomNumberGenerator.GetBytes(32));

    /// <summary>What is kept of a secret.</summary>
    public static byte[] HashOf(string secret) => SHA256.HashData(Encoding.UTF8.GetBytes(secret));

    /// <summary>The visits at an address, or null when there is no such feed, or its person was disabled.</summary>
    public async Task<string?> ReadAsync(string secret, CancellationToken ct)
    {
        var hash = HashOf(secret);
        CalendarFeed? feed;
        await using (var finding = db.ForFindingPeople())
        {
            feed = await finding
                .CalendarFeeds.AsNoTracking()
                .SingleOrDefaultAsync(row => row.SecretHash == hash && row.RevokedAt == null, ct);
        }
        if (feed is null)
        {
            return null;
        }
        await using var context = db.ForJob("calendar-feed", feed.ProgrammeId);
        var clinicianId = await context
            .People.Where(person => person.Id == feed.PersonId && person.DisabledAt == null)
            .Select(person => person.ClinicianId)
            .SingleOrDefaultAsync(ct);
        if (clinicianId is null)
        {
            return null;
        }
        var programme = await context.Programmes.AsNoTracking().Select(row => new { row.TimeZoneId, row.WorkloadPolicy }).SingleAsync(ct);
        var zone = TimeZoneInfo.FindSystemTimeZoneById(programme.TimeZoneId);
        var at = time.GetUtcNow();
        var fromOn = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, zone).DateTime).AddDays(-DaysBack);
        var visits = await context
            .PlannedVisits.AsNoTracking()
            .Where(visit => visit.ClinicianId == clinicianId && visit.PlannedOn >= fromOn && visit.Child!.ClosedOn == null)
            .Select(visit => new CalendarVisit(
                visit.Id,
                visit.Child!.Code,
                visit.Child.Zone,
                visit.PlannedOn,
                visit.StartsAt,
                visit.ChangedAt,
                visit.Revision
            ))
            .ToListAsync(ct);
        // A calendar program asks every few minutes; when it asked last is of use by the hour.
        var noted = at - _betweenNotes;
        await context
            .CalendarFeeds.Where(row => row.Id == feed.Id && (row.LastReadAt == null || row.LastReadAt < noted))
            .ExecuteUpdateAsync(set => set.SetProperty(row => row.LastReadAt, at), ct);
        return VisitCalendarText.Write(visits, zone, programme.WorkloadPolicy.VisitMinutes);
    }

    /// <summary>Maps the address.</summary>
    public static void Map(IEndpointRouteBuilder endpoints) => endpoints.MapGet(Path + "{Secret}", AnswerAsync).AllowAnonymous();

    private static async Task<IResult> AnswerAsync(string secret, HttpContext http, CalendarFeeds feeds, CancellationToken ct)
    {
        if (await feeds.ReadAsync(secret, ct) is not { } text)
        {
            return TypedResults.NotFound();
        }
        http.Response.Headers.CacheControl = "private, no-cache";
        var bytes = Encoding.UTF8.GetBytes(text);
        return TypedResults.File(
            bytes,
            VisitCalendarText.MediaType,
            entityTag: new EntityTagHeaderValue($"\"{Convert.ToHexStringLower(SHA256.HashData(bytes))}\"")
        );
    }
}
