using Caseload.Data;
using Caseload.Data.People;
using Caseload.DemoSeed;
using Caseload.Domain;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Gives the demo's invented people a way in: a fresh password each, made and printed at every start and kept nowhere.</summary>
public sealed class DemoAccounts(CaseloadDb db, IPasswordHasher<Person> hasher)
{
    /// <summary>Sets the passwords and says them, one line a person.</summary>
    public async Task<IReadOnlyList<string>> RenewAsync(CancellationToken ct)
    {
        await using var context = db.ForJob("demo-accounts", DemoCaseload.ProgrammeId);
        var people = await context
            .People.Where(person => person.DisabledAt == null)
            .OrderBy(person => person.CreatedAt)
            .ThenBy(person => person.Id)
            .ToListAsync(ct);
        var lines = new List<string>();
        foreach (var person in people)
        {
            var password = MadePasswords.New();
            person.PasswordHash = hasher.HashPassword(person, PasswordRules.FormToHash(password));
            person.FailureCount = 0;
            person.LastFailureAt = null;
            lines.Add($"  {person.SignInName, -10} {password, -46} {string.Join(", ", person.Roles.Select(role => role.ToWord()))}");
        }
        await context.SaveChangesAsync(ct);
        return lines;
    }
}
