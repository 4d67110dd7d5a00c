using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Web.Platform.Team;

namespace Caseload.Web.Features.Team;

/// <summary>Asks how the team stands.</summary>
public sealed record GetTeam;

/// <summary>Gets how the team stands.</summary>
public sealed class GetTeamHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The team.</summary>
    public async Task<TeamFacts> HandleAsync(Actor actor, GetTeam request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);
        await using var context = await db.EnterAsync(actor, Permission.AssignChildren, ct);
        var team = await TeamReading.ReadAsync(context, library, todayOn, ct);
        await context.RecordLookAsync(
            "team-listed",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", team.Children.Select(child => child.Id))
        );
        return team;
    }
}
