using Caseload.Data.Alerts;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Works out a child's row of a summary. Pure: the rules are those that statuses and alerts are kept by.</summary>
internal sealed class SummaryRowMaker(SummaryAsk ask, StandingRules rules, ChildRecord record, DateOnly? nextVisitOn)
{
    /// <summary>The row; null when the summary does not ask for the child.</summary>
    internal SummaryChild? Make(IReadOnlyDictionary<Guid, string> clinicians, bool hasNames)
    {
        var child = record.Child;
        var ages = ChildAges.Of(child.ToFacts().Birth, ask.AsOfOn, rules.Interpreter.Policy);
        if ((ask.ClinicianId is { } clinicianId && child.ClinicianId != clinicianId) || (ask.Band is { } band && AgeBands.Of(ages) != band))
        {
            return null;
        }
        var standing = ChildStanding.Of(record, rules, ask.AsOfOn);
        var holding = record.Exclusions.Where(rule => rule.HoldsOn(ask.AsOfOn)).Select(rule => rule.Exclusion).ToHashSet();
        var items = standing.Rows.ConvertAll(row => ItemOf(row, holding));
        var alerts = standing.Wanted.Select(wanted => AlertOf(wanted, standing.Rows)).ToList();
        alerts.Sort((one, other) => (other.Severity, one.SinceOn ?? default).CompareTo((one.Severity, other.SinceOn ?? default)));
        if (
            (ask.State is { } state && !items.Exists(item => item.State == state))
            || (ask.LeastAlert is { } least && (alerts.Count == 0 || alerts[0].Severity < least))
        )
        {
            return null;
        }
        var throughOn = ask.AsOfOn.AddDays(SummaryReading.DaysAhead);
        return new SummaryChild
        {
            Id = child.Id,
            Code = child.Code,
            Name = hasNames ? $"{child.FamilyName}, {child.GivenName}" : null,
            BornOn = hasNames ? child.BornOn : null,
            Ages = ages,
            Clinician = child.ClinicianId is { } id ? clinicians.GetValueOrDefault(id) : null,
            Zone = child.Zone,
            LastVisitOn = record.LastVisitOn,
            NextVisitOn = nextVisitOn,
            Items = items,
            Alerts = alerts,
            Checks = [.. items.Where(item => item.Check?.Span.From <= throughOn).OrderBy(item => item.Check!.Span.Through)],
            Integrated =
            [
                .. items
                    .Where(item => item.State == ItemState.Integrated && item.SinceOn > ask.SinceOn)
                    .OrderByDescending(item => item.SinceOn)
                    .Select(item => new SummaryIntegrated(item.Item, item.SinceOn!.Value)),
            ],
        };
    }

    private SummaryItem ItemOf(ItemStatus row, HashSet<Exclusion> holding)
    {
        var item = rules.Interpreter.Set.Find(row.Item)!;
        return new SummaryItem(
            item.Name,
            row.State,
            row.Step,
            row.IsConfirmed,
            row.SinceOn,
            row.Concern,
            row.UsualThroughOn,
            row.LatestThroughOn,
            row is { CheckFromOn: { } from, CheckThroughOn: { } through } && !DueRule.IsRuledOut(item, holding)
                ? new PlannedCheck(new(from, through), row.CheckPurpose)
                : null
        );
    }

    private SummaryAlert AlertOf(WantedAlert wanted, List<ItemStatus> rows)
    {
        var call = wanted.Call;
        var deadlineOn = wanted.Index < 0 ? null : rows[wanted.Index].UsualThroughOn;
        return new SummaryAlert(
            call.Kind,
            call.Step,
            NameOf(wanted),
            call.Severity,
            ItemWindow.ToDate(call.Since),
            call.Kind is AlertKind.Persisting or AlertKind.DeadlinePassed or AlertKind.Late && deadlineOn < ask.AsOfOn
                ? (ask.AsOfOn.DayNumber - deadlineOn.Value.DayNumber) / 7
                : null
        );
    }

    private string NameOf(WantedAlert wanted) =>
        wanted.Call.Kind == AlertKind.UrgentSign
            ? AlertText.Of(EnumWords.FromWord<UrgentSign>(wanted.Item)!.Value)
            : rules.Interpreter.Set.Find(wanted.Item)?.Name ?? "";
}
