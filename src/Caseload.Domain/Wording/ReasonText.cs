using System.Text;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Wording;

/// <summary>What a reason's sentence leaves open until the reason is known.</summary>
public enum ReasonHole
{
    /// <summary>Nothing.</summary>
    None,

    /// <summary>The day it speaks of.</summary>
    Day,

    /// <summary>The second day.</summary>
    Value,

    /// <summary>The value as a number.</summary>
    Days,

    /// <summary>The value as a graded word.</summary>
    Grade,

    /// <summary>The left side's graded word.</summary>
    Left,

    /// <summary>The right side's graded word.</summary>
    Right,

    /// <summary>The value as behavioural states.</summary>
    State,
}

/// <summary>A piece of a sentence: fixed text, then what is left open.</summary>
/// <param name="Text">The fixed text; may be empty.</param>
/// <param name="Hole">What follows it.</param>
public readonly record struct ReasonPart(string Text, ReasonHole Hole);

/// <summary>Writes reasons in words and names their sources: the one place for both.</summary>
public static class ReasonText
{
    private static readonly string[] _practice = [ReferenceSetRules.CommonPractice];

    /// <summary>The sentence of a reason about an item, with the item's own figures filled in.</summary>
    public static IReadOnlyList<ReasonPart> PartsOf(ReasonCode code, ReferenceItem item)
    {
        var parts = new List<ReasonPart>();
        var text = new StringBuilder();
        var rest = ReasonTemplates.English(code).AsSpan();
        for (var open = rest.IndexOf('{'); open >= 0; open = rest.IndexOf('{'))
        {
            text.Append(rest[..open]);
            var close = rest.IndexOf('}');
            var name = rest[(open + 1)..close];
            if (!AppendFigure(text, name, item.Rule))
            {
                parts.Add(new ReasonPart(text.ToString(), Enum.Parse<ReasonHole>(name, ignoreCase: true)));
                text.Clear();
            }
            rest = rest[(close + 1)..];
        }
        parts.Add(new ReasonPart(text.Append(rest).ToString(), ReasonHole.None));
        return parts;
    }

    /// <summary>Appends the sentence of a reason.</summary>
    public static void Append(StringBuilder target, in ReasonFact reason, ReferenceItem item)
    {
        foreach (var part in PartsOf(reason.Code, item))
        {
            target.Append(part.Text);
            switch (part.Hole)
            {
                case ReasonHole.None:
                    break;
                case ReasonHole.Day:
                    target.Append(Iso(reason.Day));
                    break;
                case ReasonHole.Value:
                    target.Append(Iso(reason.Value));
                    break;
                case ReasonHole.Days:
                    target.Append(reason.Value);
                    break;
                default:
                    target.Append(WordOf(part.Hole, reason.Value, item.Course));
                    break;
            }
        }
    }

    /// <summary>The words of a hole that stands for no date and no number.</summary>
    public static string WordOf(ReasonHole hole, int value, ItemCourse course) =>
        hole switch
        {
            ReasonHole.Grade => DayEvidence.ResponseOf(value, course).ToWord(),
            ReasonHole.Left => DayEvidence.ResponseOf(value / 16, course).ToWord(),
            ReasonHole.Right => DayEvidence.ResponseOf(value % 16, course).ToWord(),
            ReasonHole.State => string.Join(
                " and ",
                Enum.GetValues<BehaviouralState>()
                    .Where(state => (value & (1 << (int)state)) != 0)
                    .Select(state => state.ToWord().Replace('-', ' '))
            ),
            _ => throw new ArgumentOutOfRangeException(nameof(hole)),
        };

    /// <summary>The source keys a reason rests on; empty where it only restates a finding.</summary>
    public static IReadOnlyList<string> SourcesOf(ReasonCode code, ReferenceItem item) =>
        code switch
        {
            ReasonCode.BeforeOnset or ReasonCode.OnsetReached => item.Rule.Onset.Sources,
            ReasonCode.BeforeUsualWindow or ReasonCode.WithinUsualWindow =>
            [
                .. (item.Rule.UsualFrom?.Sources ?? []).Union(item.Rule.UsualThrough?.Sources ?? []),
            ],
            ReasonCode.UsualDeadline
            or ReasonCode.PastUsualDeadline
            or ReasonCode.WithinGrace
            or ReasonCode.ExpectedBy
            or ReasonCode.LateAfterUsual
            or ReasonCode.NoCheckSinceDeadline => item.Rule.UsualThrough?.Sources ?? [],
            ReasonCode.PastLatestLimit or ReasonCode.LatestLimitAhead or ReasonCode.LateAfterLimit => item.Rule.Latest?.Sources ?? [],
            ReasonCode.AbsenceMatters => item.Rule.Absence?.Sources ?? [],
            ReasonCode.PartialAccepted or ReasonCode.PartialTooLong => item.Rule.PartialAcceptedThrough?.Sources
                ?? item.Rule.Latest?.Sources
                ?? [],
            ReasonCode.UsuallyFades => item.Rule.Ends?.Sources ?? [],
            ReasonCode.InconclusiveOn => item.States.Sources,
            ReasonCode.SecondAbsence
            or ReasonCode.SecondAbsenceNeeded
            or ReasonCode.AbsenceConfirmed
            or ReasonCode.AbsenceUnconfirmed
            or ReasonCode.SidesDiffer
            or ReasonCode.ObligatoryOn
            or ReasonCode.SeenAgainOn
            or ReasonCode.LostAfterEstablished
            or ReasonCode.LessThanBefore
            or ReasonCode.AbsenceMeansLittle
            or ReasonCode.NoLatestLimit
            or ReasonCode.NoDeadline
            or ReasonCode.NotScheduled
            or ReasonCode.OneSideOnly => _practice,
            ReasonCode.NoConclusiveCheck
            or ReasonCode.SeenOn
            or ReasonCode.WeakerThanBefore
            or ReasonCode.AbsentOn
            or ReasonCode.IntegratedOn
            or ReasonCode.NotTestedOn
            or ReasonCode.StateNotRecorded
            or ReasonCode.HoldsSince => [],
            _ => throw new ArgumentOutOfRangeException(nameof(code)),
        };

    private static bool AppendFigure(StringBuilder target, ReadOnlySpan<char> name, ItemRuleFigures rule)
    {
        switch (name)
        {
            case "onset":
                AppendOnset(target, rule.Onset);
                return true;
            case "usualFrom":
                AppendMonths(target, rule.UsualFrom);
                return true;
            case "usualThrough":
                AppendMonths(target, rule.UsualThrough);
                return true;
            case "latest":
                AppendMonths(target, rule.Latest);
                return true;
            default:
                return false;
        }
    }

    private static void AppendMonths(StringBuilder target, MonthFigure? figure) =>
        target.Append(figure?.Months ?? 0).Append(figure?.Months == 1 ? " month" : " months");

    private static void AppendOnset(StringBuilder target, OnsetFigure onset)
    {
        switch (onset.Unit)
        {
            case OnsetUnit.PmaWeeks:
                target.Append(onset.From).Append(" weeks postmenstrual age");
                break;
            case OnsetUnit.CorrectedMonths when onset.From > 0:
                target.Append(onset.From).Append(onset.From == 1 ? " month" : " months");
                break;
            case OnsetUnit.CorrectedMonths:
            case OnsetUnit.Birth:
                target.Append("birth at term");
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(onset));
        }
    }

    private static string Iso(int dayNumber) =>
        DateOnly.FromDayNumber(dayNumber).ToString("O", System.Globalization.CultureInfo.InvariantCulture);
}
