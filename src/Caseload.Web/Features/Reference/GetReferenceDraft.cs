using System.Globalization;
using System.Text;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Reference;

/// <summary>Asks for what a new version starts from.</summary>
public sealed record GetReferenceDraft;

/// <summary>What a new version starts from.</summary>
/// <param name="Set">The set in use.</param>
/// <param name="Name">A name to offer.</param>
/// <param name="Version">A version to offer that is still free.</param>
/// <param name="TodayOn">Today in the programme's zone.</param>
public sealed record ReferenceDraft(ReferenceSet Set, string Name, string Version, DateOnly TodayOn);

/// <summary>Gets what a new version starts from.</summary>
public sealed class GetReferenceDraftHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    private const int LongestOfferedName = 30;
    private const int LeastTellingWord = 5;

    /// <summary>The set in use and a free key.</summary>
    public async Task<ReferenceDraft> HandleAsync(Actor actor, GetReferenceDraft request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ChangeReference, ct);
        var programme = await context.Programmes.Select(row => new { row.Name, row.ActiveSetKey }).SingleAsync(ct);
        var set = await library.GetSetAsync(context, programme.ActiveSetKey, ct);

        // A set that came with the program keeps its name to itself; a programme's own carries on counting.
        var name = ReferenceSets.Find(set.Key) is null ? set.Name : NameFrom(programme.Name);
        var taken = await context.ReferenceSetVersions.Where(row => row.Name == name).Select(row => row.Version).ToListAsync(ct);
        return new ReferenceDraft(set, name, NextVersion(taken), actor.TodayOn(time));
    }

    private static string NextVersion(IEnumerable<string> taken) =>
        (
            taken
                .Select(version => int.TryParse(version, NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : 0)
                .DefaultIfEmpty()
                .Max() + 1
        ).ToString(CultureInfo.InvariantCulture);

    private static string NameFrom(string programme)
    {
        // The first word alone, when it says enough.
        var first = programme.Trim().Split(' ')[0];
        return SlugOf(first.Length >= LeastTellingWord ? first : programme);
    }

    private static string SlugOf(string programme)
    {
        var name = new StringBuilder();
        foreach (var letter in programme.Normalize(NormalizationForm.FormD))
        {
            if (char.IsAsciiLetterOrDigit(letter) && (name.Length > 0 || char.IsAsciiLetter(letter)))
            {
                name.Append(char.ToLowerInvariant(letter));
            }
            else if (letter is ' ' or '-' && name.Length > 0 && name[^1] != '-')
            {
                name.Append('-');
            }
        }
        var text = (name.Length > LongestOfferedName ? name.ToString(0, LongestOfferedName) : name.ToString()).Trim('-');
        return text.Length == 0 ? "own" : text;
    }
}
