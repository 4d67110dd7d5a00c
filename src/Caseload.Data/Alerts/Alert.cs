using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Data.Alerts;

/// <summary>Something about a child that somebody has to answer. Raised and closed by the rules, never deleted.</summary>
public sealed class Alert : IProgrammeOwned
{
    /// <summary>The item of an alert that concerns the whole child.</summary>
    public const string WholeChild = "";

    /// <summary>The unique index that keeps a child, an item and a kind from having two open alerts.</summary>
    public const string OneOpenIndex = "ux_alerts_open";

    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The item's id in the reference set, the word of an urgent sign, or <see cref="WholeChild"/>.</summary>
    public required string Item { get; init; }

    /// <summary>What it says.</summary>
    public required AlertKind Kind { get; init; }

    /// <summary>1 or 2 for persisting and late, otherwise 0.</summary>
    public required short Step { get; set; }

    /// <summary>How much attention it asks for; stored as a number so that the database can order by it.</summary>
    public required Concern Severity { get; set; }

    /// <summary>The day from which what it says holds; null when it holds from birth.</summary>
    public required DateOnly? SinceOn { get; set; }

    /// <summary>Why, as the rules said it when it was raised or last changed: a JSON array of texts with their sources.</summary>
    public required string Reasons { get; set; }

    /// <summary>The key of the reference set that it rests on.</summary>
    public required string SetKey { get; set; }

    /// <summary>Where it is in its life.</summary>
    public required AlertState State { get; set; }

    /// <summary>The day for which it was raised, in the programme's zone.</summary>
    public required DateOnly RaisedOn { get; init; }

    /// <summary>When it was raised.</summary>
    public required DateTimeOffset RaisedAt { get; init; }

    /// <summary>When the team lead is told unless somebody has answered; null once that happened or no answer is awaited.</summary>
    public DateTimeOffset? AnswerBy { get; set; }

    /// <summary>When the team lead was told that nobody had answered.</summary>
    public DateTimeOffset? EscalatedAt { get; set; }

    /// <summary>The day on which an alert that was set aside comes back.</summary>
    public DateOnly? BackOn { get; set; }

    /// <summary>When it closed.</summary>
    public DateTimeOffset? ClosedAt { get; set; }

    /// <summary>Why it closed.</summary>
    public AlertEnd? ClosedBecause { get; set; }

    /// <summary>The finding that closed it, when one did.</summary>
    public Guid? ClosingFindingId { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }

    /// <summary>What happened to it, when loaded.</summary>
    public ICollection<AlertStep> Steps { get; } = [];
}

/// <summary>Why an alert closed.</summary>
public enum AlertEnd
{
    /// <summary>A finding says otherwise.</summary>
    NewFinding,

    /// <summary>It became an alert of another kind.</summary>
    BecameAnother,

    /// <summary>The rules no longer find it: a correction, a setting, a condition of the child, the passing of time.</summary>
    NoLongerFound,

    /// <summary>The child was visited.</summary>
    Visited,

    /// <summary>The child was given a clinician.</summary>
    Assigned,

    /// <summary>The sign was settled.</summary>
    SignSettled,

    /// <summary>The programme closed the case.</summary>
    CaseClosed,
}

/// <summary>What happened to an alert after it was raised.</summary>
public enum AlertStepKind
{
    /// <summary>It became more severe, and waits for an answer again.</summary>
    Worsened,

    /// <summary>It became less severe.</summary>
    Eased,

    /// <summary>Somebody has seen it.</summary>
    Acknowledged,

    /// <summary>The item was looked at again.</summary>
    Rechecked,

    /// <summary>The family was told.</summary>
    ToldFamily,

    /// <summary>The physician was told.</summary>
    ToldPhysician,

    /// <summary>The child was referred.</summary>
    Referred,

    /// <summary>Something else was done.</summary>
    Other,

    /// <summary>It was set aside until a day.</summary>
    SetAside,

    /// <summary>The day came, and it waits for an answer again.</summary>
    CameBack,

    /// <summary>Nobody had answered in time, and the team lead was told.</summary>
    Escalated,

    /// <summary>It closed.</summary>
    Closed,
}

/// <summary>One thing that happened to an alert. Written once.</summary>
public sealed class AlertStep : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The alert.</summary>
    public required Guid AlertId { get; init; }

    /// <summary>What happened.</summary>
    public required AlertStepKind What { get; init; }

    /// <summary>When it was recorded.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary>Who recorded it: a person's name, or the job's.</summary>
    public required string Who { get; init; }

    /// <summary>The person, when one did.</summary>
    public Guid? PersonId { get; init; }

    /// <summary>The day on which it was done, or until which it is set aside.</summary>
    public DateOnly? On { get; init; }

    /// <summary>A note or a reason.</summary>
    public string? Note { get; init; }
}
