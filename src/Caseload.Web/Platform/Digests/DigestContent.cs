using System.Text.Json;
using System.Text.Json.Serialization;
using Caseload.Data.Alerts;
using Caseload.Data.Digests;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Web.Platform.Digests;

/// <summary>What a weekly digest says. Kept as it was made: codes and no names, and no date from which a birth date could be told.</summary>
/// <param name="Scope">Whose children it speaks of.</param>
/// <param name="Week">The ISO week.</param>
/// <param name="AsOfOn">The day as of which it was made.</param>
/// <param name="ChildCount">How many open cases it speaks of.</param>
/// <param name="Children">The children that the lists below mention.</param>
/// <param name="Persisting">Responses seen after their deadline.</param>
/// <param name="NewAlerts">Alerts raised since the last digest.</param>
/// <param name="ClosedAlerts">Alerts closed since the last digest.</param>
/// <param name="DeadlinesPassed">Items whose deadline passed and that nobody has looked at.</param>
/// <param name="SecondLooksOverdue">First absences whose second look is overdue.</param>
/// <param name="Due">What is due in the coming week, by child.</param>
/// <param name="Integrated">Responses that integrated within the week.</param>
/// <param name="NotVisited">Children not visited for longer than the policy allows.</param>
/// <param name="WithoutClinician">Children without a clinician.</param>
/// <param name="Team">The numbers of the whole programme; only in a team lead's digest.</param>
public sealed record DigestContent(
    DigestScope Scope,
    string Week,
    DateOnly AsOfOn,
    int ChildCount,
    IReadOnlyList<DigestChild> Children,
    IReadOnlyList<DigestPersisting> Persisting,
    IReadOnlyList<DigestAlert> NewAlerts,
    IReadOnlyList<DigestAlert> ClosedAlerts,
    IReadOnlyList<DigestDeadline> DeadlinesPassed,
    IReadOnlyList<DigestSecondLook> SecondLooksOverdue,
    IReadOnlyList<DigestDue> Due,
    IReadOnlyList<DigestIntegrated> Integrated,
    IReadOnlyList<DigestNotVisited> NotVisited,
    IReadOnlyList<Guid> WithoutClinician,
    DigestTeam? Team
)
{
    private static readonly JsonSerializerOptions _json = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false) },
    };

    /// <summary>The children that the lists mention.</summary>
    public IReadOnlySet<Guid> MentionedIds() =>
        Persisting
            .Select(line => line.ChildId)
            .Concat(NewAlerts.Concat(ClosedAlerts).Select(line => line.ChildId))
            .Concat(DeadlinesPassed.Select(line => line.ChildId))
            .Concat(SecondLooksOverdue.Select(line => line.ChildId))
            .Concat(Due.Select(line => line.ChildId))
            .Concat(Integrated.Select(line => line.ChildId))
            .Concat(NotVisited.Select(line => line.ChildId))
            .Concat(WithoutClinician)
            .ToHashSet();

    /// <summary>The stored form.</summary>
    public string ToJson() => JsonSerializer.Serialize(this, _json);

    /// <summary>Reads the stored form.</summary>
    public static DigestContent FromJson(string json) => JsonSerializer.Deserialize<DigestContent>(json, _json)!;
}

/// <summary>A child in a digest.</summary>
/// <param name="Id">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">What it is called in mail: the code, with initials where the programme's policy wants them.</param>
/// <param name="Clinician">The initials of the clinician responsible, when that is not the reader.</param>
public sealed record DigestChild(Guid Id, string Code, string Name, string? Clinician);

/// <summary>A response seen after its deadline.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Item">The item's name.</param>
/// <param name="Step">1 past the usual deadline, 2 past the latest published limit.</param>
/// <param name="SinceOn">Since when it persists.</param>
/// <param name="WeeksPast">Whole weeks past the usual deadline.</param>
/// <param name="Trend">What became of it within the week.</param>
public sealed record DigestPersisting(Guid ChildId, string Item, int Step, DateOnly? SinceOn, int WeeksPast, PersistingTrend Trend);

/// <summary>An alert that was raised or closed.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Kind">Which kind.</param>
/// <param name="Title">What it says, with the item or the sign.</param>
/// <param name="Severity">How much attention it asks for.</param>
/// <param name="RaisedOn">The day for which it was raised.</param>
/// <param name="Because">Why it closed, when it did.</param>
public sealed record DigestAlert(Guid ChildId, AlertKind Kind, string Title, Concern Severity, DateOnly RaisedOn, AlertEnd? Because);

/// <summary>An item whose deadline passed and that nobody has looked at.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Item">The item's name.</param>
/// <param name="WeeksPast">Whole weeks past the usual deadline.</param>
public sealed record DigestDeadline(Guid ChildId, string Item, int WeeksPast);

/// <summary>A first absence whose second look is overdue.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Item">The item's name.</param>
/// <param name="AbsentOn">The day of the first absence.</param>
/// <param name="ThroughOn">The last day for the second look.</param>
public sealed record DigestSecondLook(Guid ChildId, string Item, DateOnly? AbsentOn, DateOnly ThroughOn);

/// <summary>A child with checks whose last day comes in the coming week or has gone by.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="VisitByOn">The day by which a visit is needed.</param>
/// <param name="Checks">The checks, earliest last day first.</param>
/// <param name="MoreCount">How many others may be done and have more time.</param>
public sealed record DigestDue(Guid ChildId, DateOnly VisitByOn, IReadOnlyList<DigestCheck> Checks, int MoreCount);

/// <summary>A check that is due.</summary>
/// <param name="Item">The item's name.</param>
/// <param name="Purpose">What it is for.</param>
/// <param name="ThroughOn">Its last day.</param>
/// <param name="IsOverdue">Whether that has gone by.</param>
public sealed record DigestCheck(string Item, CheckPurpose Purpose, DateOnly ThroughOn, bool IsOverdue);

/// <summary>A response that integrated within the week.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Item">The item's name.</param>
/// <param name="SinceOn">The day that confirmed it.</param>
public sealed record DigestIntegrated(Guid ChildId, string Item, DateOnly SinceOn);

/// <summary>A child that was not visited for longer than the policy allows.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="LastVisitOn">The day of the last visit; null before the first.</param>
/// <param name="Weeks">Whole weeks since then, or since the programme took the child on.</param>
public sealed record DigestNotVisited(Guid ChildId, DateOnly? LastVisitOn, int Weeks);

/// <summary>The numbers of a programme.</summary>
/// <param name="Trend">The whole programme over twelve weeks, oldest first.</param>
/// <param name="Clinicians">By clinician; last those without one.</param>
public sealed record DigestTeam(IReadOnlyList<DigestPoint> Trend, IReadOnlyList<DigestTotals> Clinicians);

/// <summary>The numbers of one clinician's children.</summary>
/// <param name="ClinicianId">The clinician; null for children without one.</param>
/// <param name="Clinician">The clinician's initials, told apart by a number where two have the same.</param>
/// <param name="Children">Open cases.</param>
/// <param name="Persisting">Persisting responses.</param>
/// <param name="Overdue">Checks whose last day has gone by.</param>
/// <param name="NotVisited">Children not visited for too long.</param>
/// <param name="Alerts">Open alerts by severity, gravest first; only those there are.</param>
/// <param name="Trend">Over twelve weeks, with today's caseload, oldest first.</param>
public sealed record DigestTotals(
    Guid? ClinicianId,
    string Clinician,
    int Children,
    int Persisting,
    int Overdue,
    int NotVisited,
    IReadOnlyList<DigestAlertCount> Alerts,
    IReadOnlyList<DigestPoint> Trend
);

/// <summary>How many alerts of a severity are open.</summary>
/// <param name="Severity">The severity.</param>
/// <param name="Count">How many.</param>
public sealed record DigestAlertCount(Concern Severity, int Count);

/// <summary>One week of a trend.</summary>
/// <param name="Week">The ISO week.</param>
/// <param name="Persisting">Persisting responses on its digest day.</param>
/// <param name="Overdue">Checks overdue on its digest day.</param>
public sealed record DigestPoint(string Week, int Persisting, int Overdue);
