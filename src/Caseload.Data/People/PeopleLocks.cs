using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.People;

/// <summary>Locks people until the next save, so that a rule that was checked still holds when it is saved.</summary>
/// <remarks>Whoever locks both locks the administrators first; otherwise two could wait for each other.</remarks>
public static class PeopleLocks
{
    /// <summary>
    /// Locks the programme's administrators and says who of them may sign in: two who take each other's role at once would leave none.
    /// </summary>
    public static async Task<IReadOnlyList<Guid>> LockAdministratorsAsync(CaseloadDbContext context, CancellationToken ct)
    {
        await context.HoldTransactionAsync(ct);
        var administrators = await context
            .People.FromSql(
                $"""
                select *, xmin from people where programme_id = {context.ProgrammeId} and roles @> array['administrator']
                order by id for update
                """
            )
            .AsNoTracking()
            .ToListAsync(ct);
        return [.. administrators.Where(person => person.DisabledAt is null).Select(person => person.Id)];
    }

    /// <summary>Locks one person; null when there is no such person.</summary>
    public static async Task<Person?> LockAsync(CaseloadDbContext context, Guid personId, CancellationToken ct)
    {
        await context.HoldTransactionAsync(ct);
        var people = await context
            .People.FromSql($"select *, xmin from people where programme_id = {context.ProgrammeId} and id = {personId} for update")
            .ToListAsync(ct);
        return people.SingleOrDefault();
    }

    /// <summary>Whether a person is the only administrator left who may sign in.</summary>
    public static bool IsLastAdministrator(IReadOnlyList<Guid> administratorIds, Person person) =>
        person.DisabledAt is null && person.Roles.Contains(Role.Administrator) && administratorIds.All(id => id == person.Id);
}
