using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Jobs;

/// <summary>The administrator's page about what runs by itself.</summary>
public partial class JobsPage
{
    private const int TicksAtRest = 10;

    private static readonly TimeSpan _tick = TimeSpan.FromSeconds(3);

    private IReadOnlyList<JobRow> _jobs = [];
    private string? _startedName;
    private string? _said;

    [Inject]
    private ListJobsHandler Jobs { get; set; } = default!;

    [Inject]
    private StartJobHandler Starting { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        await ReloadAsync();
        _ = WatchAsync();
    }

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                _jobs = await Jobs.HandleAsync(await Actors.GetAsync(ct), new ListJobs(), ct);
                return true;
            },
            keepsShowing: true
        );

    /// <summary>Looks every few seconds while something runs, and now and then otherwise.</summary>
    private async Task WatchAsync()
    {
        using var timer = new PeriodicTimer(_tick, Time);
        try
        {
            for (var tick = 1; await timer.WaitForNextTickAsync(Leaving); tick++)
            {
                if (!IsBusy && (tick % TicksAtRest == 0 || _jobs.Any(job => job.IsUnderWay)))
                {
                    await InvokeAsync(ReloadAsync);
                    _said = _jobs.Any(job => job.Name == _startedName && job.IsUnderWay) ? _said : null;
                    StateHasChanged();
                }
            }
        }
        catch (OperationCanceledException) when (Leaving.IsCancellationRequested)
        {
            // The person has left.
        }
    }

    private Task StartAsync(JobRow job) =>
        RunAsync(async ct =>
        {
            var outcome = await Starting.HandleAsync(await Actors.GetAsync(ct), new StartJob(job.Name), ct);
            _startedName = job.Name;
            _said = outcome switch
            {
                StartJobOutcome.Begins when job.NextAt is null => "It looks now. If nothing waits, nothing changes here.",
                StartJobOutcome.Begins => "It begins within seconds.",
                StartJobOutcome.NotNow => "It is under way or waiting already, or there is nothing yet to do it for.",
                _ => "There is no such job any more. Load the page again.",
            };
            _jobs = await Jobs.HandleAsync(await Actors.GetAsync(ct), new ListJobs(), ct);
        });
}
