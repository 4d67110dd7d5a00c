using Caseload.Data.Alerts;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Web.Features.Alerts;

/// <summary>An alert as a line shows it.</summary>
/// <param name="Id">The alert.</param>
/// <param name="RowVersion">Tells whether somebody else answered meanwhile.</param>
/// <param name="Kind">What it says.</param>
/// <param name="Severity">How much attention it asks for.</param>
/// <param name="State">Where it is in its life.</param>
/// <param name="Title">What it says, in plain words.</param>
/// <param name="SinceOn">Since when what it says holds; null from birth.</param>
/// <param name="RaisedOn">The day for which it was raised.</param>
/// <param name="AnswerBy">When the team lead is told unless somebody has answered, by the programme's clocks.</param>
/// <param name="IsEscalated">Whether the team lead was told.</param>
/// <param name="BackOn">The day on which it comes back.</param>
/// <param name="ClosedOn">The day on which it closed.</param>
/// <param name="ClosedBecause">Why it closed.</param>
public sealed record AlertRow(
    Guid Id,
    uint RowVersion,
    AlertKind Kind,
    Concern Severity,
    AlertState State,
    string Title,
    DateOnly? SinceOn,
    DateOnly RaisedOn,
    DateTimeOffset? AnswerBy,
    bool IsEscalated,
    DateOnly? BackOn,
    DateOnly? ClosedOn,
    AlertEnd? ClosedBecause
);

/// <summary>A child with its alerts.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">Its name.</param>
/// <param name="Age">The age to put first.</param>
/// <param name="Clinician">Who is responsible.</param>
/// <param name="Alerts">Its alerts, worst first.</param>
public sealed record AlertGroup(Guid ChildId, string Code, string Name, string Age, string? Clinician, IReadOnlyList<AlertRow> Alerts);
