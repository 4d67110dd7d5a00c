using Caseload.Domain.Alerts;

namespace Caseload.Web.Features.Alerts;

/// <summary>What a person taps on an alert's line.</summary>
public enum AlertTapKind
{
    /// <summary>Opens or closes its story.</summary>
    Open,

    /// <summary>Selects it or takes it out.</summary>
    Select,

    /// <summary>Acknowledges it.</summary>
    Acknowledge,

    /// <summary>Begins to say what was done.</summary>
    Act,

    /// <summary>Begins to set it aside.</summary>
    SetAside,

    /// <summary>Moves the focus to it.</summary>
    Focus,
}

/// <summary>A tap on an alert's line.</summary>
/// <param name="Alert">The alert.</param>
/// <param name="Kind">What was tapped.</param>
public sealed record AlertTap(AlertRow Alert, AlertTapKind Kind);

/// <summary>What is selected, open and under way on a list of alerts. Outlives the list, which is loaded anew whenever alerts change.</summary>
public sealed class AlertDesk
{
    private readonly HashSet<Guid> _selected = [];
    private Guid? _currentId;

    /// <summary>The list.</summary>
    public AlertsView View { get; private set; } = new(default, [], [], [], false, false);

    /// <summary>Now, by the programme's clocks.</summary>
    public DateTimeOffset At { get; set; }

    /// <summary>The story that is open.</summary>
    public AlertStory? Story { get; set; }

    /// <summary>The answer that is being entered.</summary>
    public AnswerForm? Form { get; set; }

    /// <summary>Every alert on the list, in its order.</summary>
    public IReadOnlyList<AlertRow> Rows { get; private set; } = [];

    /// <summary>The selected alerts, in the order of the list.</summary>
    public IReadOnlyList<AlertRow> Selected => [.. Rows.Where(row => _selected.Contains(row.Id))];

    /// <summary>The alert that has or had the focus.</summary>
    public AlertRow? Current => Rows.FirstOrDefault(row => row.Id == _currentId);

    /// <summary>Whether the answer is entered at the line of its alert; otherwise it is entered below the list.</summary>
    public bool IsFormAtALine => Form?.AlertId is { } id && Rows.Any(row => row.Id == id);

    /// <summary>Takes in a list; what is no longer on it is no longer selected.</summary>
    public void Take(AlertsView view, DateTimeOffset at)
    {
        (View, At) = (view, at);
        Rows = [.. view.Groups.SelectMany(group => group.Alerts)];
        _selected.IntersectWith(Rows.Select(row => row.Id));
    }

    /// <summary>Whether an alert is selected.</summary>
    public bool IsSelected(Guid id) => _selected.Contains(id);

    /// <summary>Whether every alert of a child is selected.</summary>
    public bool IsSelected(AlertGroup group) => group.Alerts.All(alert => _selected.Contains(alert.Id));

    /// <summary>Selects an alert or takes it out.</summary>
    public void Select(Guid id) => _ = _selected.Remove(id) || _selected.Add(id);

    /// <summary>Selects every alert of a child, or takes them out when all were selected.</summary>
    public void Select(AlertGroup group)
    {
        var ids = group.Alerts.Select(alert => alert.Id).ToList();
        if (IsSelected(group))
        {
            _selected.ExceptWith(ids);
        }
        else
        {
            _selected.UnionWith(ids);
        }
    }

    /// <summary>Selects nothing.</summary>
    public void SelectNone() => _selected.Clear();

    /// <summary>Whether every selected alert can be answered so.</summary>
    public bool AllAllow(AlertAnswer answer) => Selected.All(row => AlertLife.Allows(row.State, answer));

    /// <summary>Goes to an alert.</summary>
    public void GoTo(Guid id) => _currentId = id;

    /// <summary>Goes on by so many lines and stays on the list.</summary>
    public AlertRow? GoBy(int lines)
    {
        if (Rows.Count == 0)
        {
            return null;
        }
        var at = Current is { } current ? Rows.ToList().IndexOf(current) + lines : 0;
        var next = Rows[Math.Clamp(at, 0, Rows.Count - 1)];
        _currentId = next.Id;
        return next;
    }

    /// <summary>The line at a place, or the last; null on an empty list.</summary>
    public AlertRow? LineAt(int index) => Rows.Count == 0 ? null : Rows[Math.Clamp(index, 0, Rows.Count - 1)];
}
