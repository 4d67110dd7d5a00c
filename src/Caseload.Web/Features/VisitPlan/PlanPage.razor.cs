using System.Globalization;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>A visit to be planned or moved.</summary>
/// <param name="Id">The visit; null for a new one.</param>
/// <param name="ChildId">The child.</param>
/// <param name="On">The day.</param>
/// <param name="StartsAt">The hour.</param>
public sealed record VisitMove(Guid? Id, Guid ChildId, DateOnly? On, TimeOnly? StartsAt);

/// <summary>A clinician's coming visits, week by week.</summary>
public partial class PlanPage
{
    private readonly Dictionary<Guid, string> _problems = [];
    private PlannedVisits? _plan;
    private Guid? _clinicianId;
    private DateOnly? _weekOn;
    private string? _saved;

    [Inject]
    private ListPlannedVisitsHandler Plans { get; set; } = default!;

    [Inject]
    private ProposeVisitsHandler Proposing { get; set; } = default!;

    [Inject]
    private SavePlannedVisitHandler Saving { get; set; } = default!;

    [Inject]
    private RemovePlannedVisitHandler Removing { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                await FetchAsync(ct);
                return _plan!.ClinicianId is not null;
            },
            keepsShowing: true
        );

    private async Task FetchAsync(CancellationToken ct) =>
        _plan = await Plans.HandleAsync(await Actors.GetAsync(ct), new ListPlannedVisits(_clinicianId, _weekOn), ct);

    private Task ChooseAsync(ChangeEventArgs change)
    {
        _clinicianId = Guid.TryParse(change.Value as string, out var id) ? id : null;
        _saved = null;
        return ReloadAsync();
    }

    private Task GoAsync(int days)
    {
        _weekOn = _plan!.FromOn.AddDays(days);
        return ReloadAsync();
    }

    private Task ProposeAsync() =>
        RunAsync(async ct =>
        {
            var proposed = await Proposing.HandleAsync(await Actors.GetAsync(ct), new ProposeVisits(_plan!.ClinicianId!.Value), ct);
            _saved = proposed is null ? null : WordsOf(proposed);
            await FetchAsync(ct);
        });

    private Task AddAsync(VisitMove move) => MoveAsync(move);

    private Task MoveAsync(VisitMove move) =>
        RunAsync(async ct =>
        {
            _saved = null;
            var id = move.Id ?? Guid.CreateVersion7(Time.GetUtcNow());
            var refusals = await Saving.HandleAsync(
                await Actors.GetAsync(ct),
                new SavePlannedVisit(id, move.ChildId, _plan!.ClinicianId!.Value, move.On, move.StartsAt),
                ct
            );
            _problems.Remove(move.ChildId);
            if (refusals.Count > 0)
            {
                _problems[move.ChildId] = refusals[0].Message;
                return;
            }
            await FetchAsync(ct);
        });

    private Task RemoveAsync(Guid id) =>
        RunAsync(async ct =>
        {
            _saved = null;
            await Removing.HandleAsync(await Actors.GetAsync(ct), new RemovePlannedVisit(id), ct);
            await FetchAsync(ct);
        });

    private static string WordsOf(ProposedVisits proposed)
    {
        var visits = string.Create(
            CultureInfo.InvariantCulture,
            $"{proposed.VisitCount} visits planned, which meet {proposed.CheckCount} due checks."
        );
        if (proposed.Gaps.Count == 0)
        {
            return visits;
        }
        var full = proposed.Gaps.Where(gap => gap.IsForWantOfRoom).Select(gap => gap.Code).Distinct().Order().ToList();
        var free = proposed.Gaps.Where(gap => !gap.IsForWantOfRoom).Select(gap => gap.Code).Distinct().Order().ToList();
        return visits
            + (full.Count > 0 ? $" No room for all checks of {string.Join(", ", full)}." : "")
            + (free.Count > 0 ? $" No working day for all checks of {string.Join(", ", free)}." : "");
    }
}
