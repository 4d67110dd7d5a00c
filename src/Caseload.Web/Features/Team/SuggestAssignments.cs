using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Assignment;
using Caseload.Domain.Interpretation;
using Caseload.Optimiser;
using Caseload.Web.Platform.Team;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Asks for a proposal who sees whom. Nothing is changed.</summary>
/// <param name="Scope">Which children may be given to somebody else.</param>
/// <param name="CoverId">For a cover: the time during which somebody is away.</param>
/// <param name="NeedsLanguage">Whether a clinician without the family's language is ruled out.</param>
/// <param name="Progress">Told how far the search has come.</param>
/// <param name="Stop">Stops the search; the best answer so far counts.</param>
public sealed record SuggestAssignments(
    AssignmentScope Scope,
    Guid? CoverId,
    bool NeedsLanguage,
    IProgress<SearchProgress>? Progress,
    CancellationToken Stop
);

/// <summary>A proposal with what is needed to show it.</summary>
/// <param name="Team">The team as it stands.</param>
/// <param name="Scope">Which children it may give to somebody else.</param>
/// <param name="Proposal">The proposal.</param>
/// <param name="Quality">How good it is known to be.</param>
public sealed record SuggestedAssignments(TeamFacts Team, AssignmentScope Scope, AssignmentProposal Proposal, SearchQuality Quality);

/// <summary>Searches for proposals.</summary>
public sealed class SuggestAssignmentsHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The proposal; null when the time for which somebody is away is over or gone.</summary>
    public async Task<SuggestedAssignments?> HandleAsync(Actor actor, SuggestAssignments request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);
        TeamFacts team;
        AssignmentProblem problem;
        await using (var context = await db.EnterAsync(actor, Permission.AssignChildren, ct))
        {
            team = await TeamReading.ReadAsync(context, library, todayOn, ct);
            var covers = await context.Covers.AsNoTracking().Where(row => row.ThroughOn >= todayOn).ToListAsync(ct);
            var cover = covers.Find(row => row.Id == request.CoverId && row.ChildId is null);
            if (request.Scope == AssignmentScope.Cover && cover is null)
            {
                return null;
            }
            var (fromOn, throughOn) = cover is null ? (todayOn, todayOn) : (cover.FromOn, cover.ThroughOn);
            var away = covers
                .Where(row => row.FromOn <= throughOn && row.ThroughOn >= fromOn)
                .Select(row => row.AbsentClinicianId)
                .ToHashSet();
            problem = ProblemOf(team, request, cover?.AbsentClinicianId, away);
            await context.RecordLookAsync(
                "team-listed",
                null,
                time.GetUtcNow(),
                ct,
                new AccessDetail().WithAll("children", team.Children.Select(child => child.Id))
            );
        }
        var answer = await Task.Run(
            () => AssignmentSearch.Find(problem, SearchLimits.Default, request.Progress, request.Stop),
            CancellationToken.None
        );
        if (AssignmentCheck.Faults(problem, answer.Assignment) is { Count: > 0 } faults)
        {
            throw new InvalidOperationException("The search broke a rule: " + string.Join("; ", faults));
        }
        return new SuggestedAssignments(team, request.Scope, AssignmentProposal.Of(problem, answer.Assignment), answer.Quality);
    }

    private static AssignmentProblem ProblemOf(TeamFacts team, SuggestAssignments request, Guid? awayId, HashSet<Guid> away) =>
        new(
            [
                .. team.Children.Select(child => new AssignmentChild(
                    child.Id,
                    child.Code,
                    child.Work,
                    child.Language,
                    child.NeededDiscipline?.ToWord(),
                    child.ClinicianId is null ? team.TodayOn.DayNumber - child.WaitsSinceOn.DayNumber : 0,
                    child.Worst >= Concern.Act,
                    child.ClinicianId,
                    child.WithClinicianSinceOn is { } sinceOn ? (team.TodayOn.DayNumber - sinceOn.DayNumber) / 7 : 0,
                    // What the lead has planned for later is not planned anew.
                    child.Next
                        is not null,
                    child.NeverWith
                )),
            ],
            [
                .. team.Clinicians.Select(clinician => new AssignmentClinician(
                    clinician.Id,
                    clinician.Name,
                    clinician.Discipline.ToWord(),
                    clinician.Languages,
                    clinician.Zones,
                    clinician.CapacityMinutes,
                    clinician.MostChildren,
                    away.Contains(clinician.Id)
                )),
            ],
            team.Policy,
            request.Scope,
            awayId,
            request.NeedsLanguage
        );
}
