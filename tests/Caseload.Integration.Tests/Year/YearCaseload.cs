using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Year;

/// <summary>Who is on the caseload of the simulated year, and what clinicians do on each of its days: the same in every run.</summary>
internal sealed class YearCaseload(StoreFixture store)
{
    private const int Children = 16;

    // Longer than the longest time an alert may wait for its answer, so that every alert is escalated or closed before somebody answers it.
    private const int AnsweredAfterDays = 16;

    private static readonly string[] _items = ["rooting", "moro", "atnr", "galant", "stnr", "babinski"];

    private static readonly (Response Response, Side Side)[] _findings =
    [
        (Response.Typical, Side.Both),
        (Response.Absent, Side.Both),
        (Response.Absent, Side.Both),
        (Response.Weak, Side.Both),
        (Response.Obligatory, Side.Both),
        (Response.Typical, Side.Left),
    ];

    private readonly List<Guid> _childIds = [];

    /// <summary>Two clinicians and a team lead with addresses, and children of all ages, one of them nobody's.</summary>
    internal async Task FillAsync(DateOnly onDay)
    {
        var clinicians = new[]
        {
            await AddPersonAsync(Role.Clinician, "Ida Invented", "ida@example.org"),
            await AddPersonAsync(Role.Clinician, "Otto Outline", "otto@example.org"),
        };
        await AddPersonAsync(Role.TeamLead, "Lena Lead", "lena@example.org");
        await using var context = store.ContextA();
        for (var number = 0; number < Children; number++)
        {
            var child = await StoreFixture.AddChildAsync(context, onDay.AddDays(-14 - (number * 23)), 280 - (number % 5 * 14));
            child.ClinicianId = number == 0 ? null : clinicians[number % 2];
            _childIds.Add(child.Id);
        }
        await context.SaveChangesAsync();
        await store.Statuses.RebuildAsync(context, onDay, CancellationToken.None);
    }

    /// <summary>A day's visits and answers.</summary>
    internal async Task LiveAsync(DateOnly onDay)
    {
        var random = new Random(onDay.DayNumber);
        await using var context = store.ContextA();
        if (random.Next(3) == 0)
        {
            var childId = _childIds[random.Next(_childIds.Count)];
            var child = await context.Children.SingleAsync(row => row.Id == childId);
            var (response, side) = _findings[random.Next(_findings.Length)];
            StoreFixture.AddFinding(context, child, _items[random.Next(_items.Length)], onDay, response, side: side);
            await store.Statuses.RewriteAsync(context, childId, onDay, CancellationToken.None);
        }
        var waiting = await context
            .Alerts.Where(row => row.State == AlertState.Open && row.RaisedOn < onDay.AddDays(-AnsweredAfterDays))
            .OrderBy(row => row.RaisedOn)
            .ThenBy(row => row.Child!.Code)
            .ThenBy(row => row.Item)
            .ThenBy(row => row.Kind)
            .FirstOrDefaultAsync();
        if (waiting is not null)
        {
            waiting.State = AlertState.Acknowledged;
            waiting.AnswerBy = null;
        }
        await context.SaveChangesAsync();
    }

    private async Task<Guid> AddPersonAsync(Role role, string name, string email)
    {
        var actor = await store.AddPersonAsync(store.ProgrammeA, [role], name);
        await using var context = store.ContextA();
        (await context.People.SingleAsync(person => person.Id == actor.PersonId)).Email = email;
        if (actor.ClinicianId is { } clinicianId)
        {
            (await context.Clinicians.SingleAsync(row => row.Id == clinicianId)).Initials = name[..2];
        }
        await context.SaveChangesAsync();
        return actor.PersonId;
    }
}
