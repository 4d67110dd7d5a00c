using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Digests;
using Caseload.Web.Platform.Digests;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Digest;

/// <summary>Opens a digest.</summary>
public sealed record GetDigest(Guid Id);

/// <summary>A digest as it was made, with the names that the reader may see.</summary>
/// <param name="Id">The digest.</param>
/// <param name="PersonId">For whom it was made.</param>
/// <param name="Scope">Whose children it speaks of.</param>
/// <param name="MadeAt">When it was made, by the programme's clocks.</param>
/// <param name="Content">What it says.</param>
/// <param name="Names">Names of the children whom the reader reaches today.</param>
/// <param name="Clinicians">Names of the clinicians in a team lead's numbers.</param>
/// <param name="Subject">The subject of the message.</param>
/// <param name="Text">The message's plain text.</param>
public sealed record DigestView(
    Guid Id,
    Guid PersonId,
    DigestScope Scope,
    DateTimeOffset MadeAt,
    DigestContent Content,
    IReadOnlyDictionary<Guid, string> Names,
    IReadOnlyDictionary<Guid, string> Clinicians,
    string Subject,
    string Text
);

/// <summary>Opens a digest; the look stands in the access record with every child it mentions.</summary>
public sealed class GetDigestHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The digest; null when there is none that the person may read.</summary>
    public async Task<DigestView?> HandleAsync(Actor actor, GetDigest request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadDigests, ct);
        var mayReadAll = context.ReadsProgramme;
        var digest = await context
            .Digests.AsNoTracking()
            .Where(row => row.Id == request.Id)
            .Where(row => mayReadAll || (row.PersonId == actor.PersonId && row.Scope == DigestScope.Clinician))
            .SingleOrDefaultAsync(ct);
        if (digest is null)
        {
            return null;
        }
        var content = DigestContent.FromJson(digest.Content);
        var ids = content.Children.Select(child => child.Id).ToArray();
        var names = await context
            .Children.Where(child => EF.Parameter(ids).Contains(child.Id))
            .Select(child => new { child.Id, Name = child.GivenName + " " + child.FamilyName })
            .ToDictionaryAsync(child => child.Id, child => child.Name, ct);
        var clinicians = await context.Clinicians.ToDictionaryAsync(row => row.Id, row => row.Name, ct);
        await context.RecordLookAsync(
            "digest-opened",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().With("digest", digest.Id).WithAll("children", ids)
        );
        return new DigestView(
            digest.Id,
            digest.PersonId,
            digest.Scope,
            ProgrammeDays.In(digest.MadeAt, actor.TimeZone),
            content,
            names,
            clinicians,
            digest.Subject,
            digest.Text
        );
    }
}
