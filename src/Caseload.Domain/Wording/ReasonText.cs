using System.Text;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Wording;

/// <summary>Writes reasons in words and names their sources: the one place for both.</summary>
public static class ReasonText
{
    private static readonly Segment[][] _english = [.. Enum.GetValues<ReasonCode>().Select(code => Split(ReasonTemplates.English(code)))];

    private static readonly string[] _practice = [ReferenceSetRules.CommonPractice];

    private enum Hole
    {
        None,
        Day,
        Value,
        Days,
        Grade,
        Left,
        Right,
        State,
        Onset,
        UsualFrom,
        UsualThrough,
        Latest,
    }

    /// <summary>Appends the sentence of a reason.</summary>
    public static void Append(StringBuilder target, in ReasonFact reason, ReferenceItem item)
    {
        foreach (var segment in _english[(int)reason.Code])
        {
            target.Append(segment.Text);
            switch (segment.Hole)
            {
                case Hole.None:
                    break;
                case Hole.Day:
                    AppendDate(target, reason.Day);
                    break;
                case Hole.Value:
                    AppendDate(target, reason.Value);
                    break;
                case Hole.Days:
                    target.Append(reason.Value);
                    break;
                case Hole.Grade:
                    target.Append(DayEvidence.ResponseOf(reason.Value, item.Course).ToWord());
                    break;
                case Hole.Left:
                    target.Append(DayEvidence.ResponseOf(reason.Value / 16, item.Course).ToWord());
                    break;
                case Hole.Right:
                    target.Append(DayEvidence.ResponseOf(reason.Value % 16, item.Course).ToWord());
                    break;
                case Hole.State:
                    AppendStates(target, reason.Value);
                    break;
                case Hole.Onset:
                    AppendOnset(target, item.Rule.Onset);
                    break;
                case Hole.UsualFrom:
                    AppendMonths(target, item.Rule.UsualFrom);
                    break;
                case Hole.UsualThrough:
                    AppendMonths(target, item.Rule.UsualThrough);
                    break;
                case Hole.Latest:
                    AppendMonths(target, item.Rule.Latest);
                    break;
                default:
                    throw new InvalidOperationException("Unknown hole.");
            }
        }
    }

    /// <summary>The source keys a reason rests on; empty where it only restates a finding.</summary>
    public static IReadOnlyList<string> SourcesOf(ReasonCode code, ReferenceItem item) =>
        code switch
        {
            ReasonCode.BeforeOnset or ReasonCode.OnsetReached => item.Rule.Onset.Sources,
            ReasonCode.BeforeUsualWindow or ReasonCode.WithinUsualWindow =>
            [
                .. item.Rule.UsualFrom!.Sources.Union(item.Rule.UsualThrough!.Sources),
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

    /// <summary>An age in months as words, for example "6 months".</summary>
    public static void AppendMonths(StringBuilder target, MonthFigure? figure)
    {
        target.Append(figure?.Months ?? 0).Append(figure?.Months == 1 ? " month" : " months");
    }

    /// <summary>An onset as words, for example "28 weeks postmenstrual age".</summary>
    public static void AppendOnset(StringBuilder target, OnsetFigure onset)
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

    private static void AppendDate(StringBuilder target, int dayNumber)
    {
        Span<char> buffer = stackalloc char[10];
        DateOnly.FromDayNumber(dayNumber).TryFormat(buffer, out _, "O", System.Globalization.CultureInfo.InvariantCulture);
        target.Append(buffer);
    }

    private static void AppendStates(StringBuilder target, int states)
    {
        var isFirst = true;
        foreach (var state in Enum.GetValues<BehaviouralState>())
        {
            if ((states & (1 << (int)state)) != 0)
            {
                target.Append(isFirst ? "" : " and ").Append(state.ToWord().Replace('-', ' '));
                isFirst = false;
            }
        }
    }

    private static Segment[] Split(string template)
    {
        var segments = new List<Segment>();
        var rest = template;
        for (var open = rest.IndexOf('{', StringComparison.Ordinal); open >= 0; open = rest.IndexOf('{', StringComparison.Ordinal))
        {
            var close = rest.IndexOf('}', StringComparison.Ordinal);
            segments.Add(new Segment(rest[..open], Enum.Parse<Hole>(rest[(open + 1)..close], ignoreCase: true)));
            rest = rest[(close + 1)..];
        }
        segments.Add(new Segment(rest, Hole.None));
        return [.. segments];
    }

    private sealed record Segment(string Text, Hole Hole);
}
