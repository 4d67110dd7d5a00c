using System.Globalization;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Due;

/// <summary>Where a clinician's morning begins: what the coming two weeks need, child by child.</summary>
public partial class DuePage
{
    private const int DaysAhead = 14;
    private const string ClinicianKey = "clinician";

    private DueList? _list;
    private Guid? _clinicianId;

    [Inject]
    private ListDueChildrenHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private ScreenPreferences Preferences { get; set; } = default!;

    private string Lead =>
        _list is null
            ? "What the coming two weeks need"
            : $"{Dates.Full(_list.TodayOn)}: {Count(_list.Children.Count(child => child.IsOverdue), "child", "children")} overdue, "
                + $"{_list.Children.Count(child => !child.IsOverdue).ToString(CultureInfo.InvariantCulture)} more with checks in the coming two weeks";

    private string EmptyTitle => _list?.ChildCount == 0 && _clinicianId is null ? "No children yet" : "Nothing is due";

    private IEnumerable<DueGroup> Groups =>
        _list!
            .Children.GroupBy(GroupOf)
            .OrderBy(group => group.Key)
            .Select(group => new DueGroup(
                TitleOf(group.Key),
                NoteOf(group.Key),
                group.Key <= _overdue,
                [.. group.OrderByDescending(child => child.Worst)]
            ));

    private static readonly DateOnly _sameDay = DateOnly.MinValue;
    private static readonly DateOnly _overdue = DateOnly.MinValue.AddDays(1);
    private static readonly DateOnly _later = DateOnly.MaxValue;

    /// <summary>The day a child is listed under; what is urgent, what is overdue and what has time stand in for days of their own.</summary>
    private DateOnly GroupOf(DueChildRow child) =>
        child.Worst == Concern.SameDay ? _sameDay
        : child.IsOverdue ? _overdue
        : child.VisitByOn > _list!.TodayOn.AddDays(DaysAhead) ? _later
        : child.VisitByOn;

    private static string TitleOf(DateOnly group) =>
        group == _sameDay ? "Same day"
        : group == _overdue ? "Overdue"
        : group == _later ? "Open now, not pressing"
        : "Visit by " + Dates.Near(group);

    private string NoteOf(DateOnly group) =>
        group == _sameDay ? "something came back: the urgent medical route first, then the recheck"
        : group == _overdue ? "the last day for a check has gone by"
        : group == _later ? "may be done, and has time beyond two weeks"
        : Dates.Relative(group, _list!.TodayOn);

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        _clinicianId = Guid.TryParse(await Preferences.ReadAsync(ClinicianKey), out var id) ? id : null;
        await ReloadAsync();
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            var actor = await Actors.GetAsync(ct);
            _list = await Handler.HandleAsync(actor, new ListDueChildren(DaysAhead, _clinicianId), ct);
            if (_clinicianId is not null && _list.Clinicians.All(clinician => clinician.Id != _clinicianId))
            {
                // The remembered clinician has left, or belongs to another programme.
                _clinicianId = null;
                _list = await Handler.HandleAsync(actor, new ListDueChildren(DaysAhead, null), ct);
            }
            return _list.Children.Count > 0;
        });

    private async Task FilterAsync(ChangeEventArgs change)
    {
        _clinicianId = Guid.TryParse(change.Value as string, out var id) ? id : null;
        await Preferences.SaveAsync(ClinicianKey, _clinicianId?.ToString() ?? "");
        await ReloadAsync();
    }

    private static string Count(int count, string one, string many) =>
        count.ToString(CultureInfo.InvariantCulture) + " " + (count == 1 ? one : many);

    private sealed record DueGroup(string Title, string Note, bool IsOverdue, IReadOnlyList<DueChildRow> Children);
}
