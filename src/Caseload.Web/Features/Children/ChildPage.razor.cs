using Caseload.Domain.Interpretation;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Caseload.Web.Ui.Timeline;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Children;

/// <summary>One child: ages, timeline, where it stands and why, next checks, concerns, visits.</summary>
public partial class ChildPage
{
    private const int DaysOfInterest = 90;

    private ChildView? _child;
    private TimelineLayout? _timeline;
    private TimelineLayout? _narrowTimeline;
    private TimelineAxis _axis = TimelineAxis.Corrected;
    private bool _showsAll;
    private string? _exclusionProblem;
    private string? _concernProblem;
    private string? _closingProblem;

    /// <summary>The child.</summary>
    [Parameter]
    public Guid ChildId { get; set; }

    /// <summary>The item whose reasons are open from the start.</summary>
    [SupplyParameterFromQuery(Name = "item")]
    private string? ItemId { get; set; }

    [Inject]
    private GetChildHandler Find { get; set; } = default!;

    [Inject]
    private ChangeExclusionHandler ChangeExclusion { get; set; } = default!;

    [Inject]
    private ChangeConcernHandler ChangeConcern { get; set; } = default!;

    [Inject]
    private CloseChildHandler Close { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(ct);
            return _child is not null;
        });

    private async Task FetchAsync(CancellationToken ct)
    {
        _child = await Find.HandleAsync(await Actors.GetAsync(ct), new GetChild(ChildId), ct);
        LayOut();
    }

    private void LayOut()
    {
        _timeline = At(TimelineLayout.Wide);
        _narrowTimeline = At(TimelineLayout.Narrow);

        TimelineLayout? At(double width) =>
            _child is null
                ? null
                : TimelineLayout.Of(
                    _child.Birth,
                    _child.AnchorOn,
                    [.. _child.Results.Where(result => _showsAll || IsOfInterest(result))],
                    _child.Standing,
                    _child.TodayOn,
                    _axis,
                    width
                );
    }

    private bool IsOfInterest(ItemResult result) =>
        result.Verdict.Concern > Concern.None
        || _child!.Standing.Any(finding => finding.Item == result.Item.Id)
        || result.NextCheck?.Span.From <= _child.TodayOn.AddDays(DaysOfInterest);

    private void ShowAxis(TimelineAxis axis)
    {
        _axis = axis;
        LayOut();
    }

    private void ShowAll(bool all)
    {
        _showsAll = all;
        LayOut();
    }

    private Task ChangeExclusionAsync(ExclusionChange change) =>
        RunAsync(async ct =>
        {
            var command = new ChangeExclusion(
                ChildId,
                change.RowId ?? Guid.CreateVersion7(Time.GetUtcNow()),
                change.Exclusion,
                change.FromOn,
                change.ThroughOn
            );
            var refusals = await ChangeExclusion.HandleAsync(await Actors.GetAsync(ct), command, ct);
            _exclusionProblem = refusals.Count == 0 ? null : refusals[0].Message;
            await FetchAsync(ct);
        });

    private Task ChangeConcernAsync(ConcernChange change) =>
        RunAsync(async ct =>
        {
            var command = new ChangeConcern(
                ChildId,
                change.RowId ?? Guid.CreateVersion7(Time.GetUtcNow()),
                change.ConcernId,
                change.IsResolved
            );
            var isSaved = await ChangeConcern.HandleAsync(await Actors.GetAsync(ct), command, ct);
            _concernProblem = isSaved ? null : "This concern is already on the list.";
            await FetchAsync(ct);
        });

    private Task CloseAsync(string? reason) =>
        RunAsync(async ct =>
        {
            var refusals = await Close.HandleAsync(await Actors.GetAsync(ct), new CloseChild(ChildId, reason), ct);
            _closingProblem = refusals.Count == 0 ? null : refusals[0].Message;
            await FetchAsync(ct);
        });

    private async Task PrintAsync() => await Browser.InvokeVoidAsync("caseload.print");

    private static string Pressed(bool isPressed) => isPressed ? "true" : "false";
}
