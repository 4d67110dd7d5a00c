using System.Runtime.InteropServices;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Explain;

/// <summary>What every answer of one set has in common, prepared once.</summary>
internal sealed class PreparedSet
{
    internal PreparedSet(Interpreter interpreter)
    {
        Interpreter = interpreter;
        Start = Utf8($"\"set\":{Json(interpreter.Set.Key)},\"on\":\"");
        States = [.. Enum.GetValues<ItemState>().Select(state => Utf8($"{state.ToWord()}\",\"since\":"))];
        Purposes =
        [
            .. Enum.GetValues<CheckPurpose>().Select(purpose => Utf8($"\",\"purpose\":\"{purpose.ToWord()}\"}},\"nextChangeOn\":")),
        ];
        Bases = [.. Enum.GetValues<AgeBasis>().Select(basis => Utf8($"\",\"ages\":{{\"basis\":\"{basis.ToWord()}\",\"chronological\":"))];
        Cautions =
        [
            .. Enum.GetValues<AgeCaution>()
                .Select(caution => Utf8($"{{\"code\":\"{caution.ToWord()}\",\"text\":{Json(Labels.Of(caution))}}}")),
        ];
        Items = [.. interpreter.Set.Items.Select(item => Utf8($"{{\"id\":{Json(item.Id)},\"state\":\""))];
        Reasons =
        [
            .. interpreter.Set.Items.Select(item => Enum.GetValues<ReasonCode>().Select(code => new PreparedReason(code, item)).ToArray()),
        ];
    }

    internal Interpreter Interpreter { get; }

    internal byte[] Start { get; }

    internal byte[][] States { get; }

    internal byte[][] Purposes { get; }

    internal byte[][] Bases { get; }

    internal byte[][] Cautions { get; }

    internal byte[][] Items { get; }

    internal PreparedReason[][] Reasons { get; }

    internal static byte[] Utf8(string text) => Encoding.UTF8.GetBytes(text);

    internal static string Json(string text) => $"\"{JavaScriptEncoder.UnsafeRelaxedJsonEscaping.Encode(text)}\"";
}

/// <summary>A reason's JSON, cut at what is left open.</summary>
internal sealed class PreparedReason
{
    private readonly (byte[] Text, ReasonHole Hole)[] _parts;

    internal PreparedReason(ReasonCode code, ReferenceItem item)
    {
        var parts = ReasonText
            .PartsOf(code, item)
            .Select(part => (Text: JavaScriptEncoder.UnsafeRelaxedJsonEscaping.Encode(part.Text), part.Hole))
            .ToArray();
        parts[0].Text = $"{{\"code\":\"{code.ToWord()}\",\"text\":\"" + parts[0].Text;
        parts[^1].Text += $"\",\"sources\":[{string.Join(',', ReasonText.SourcesOf(code, item).Select(PreparedSet.Json))}]}}";
        _parts = [.. parts.Select(part => (PreparedSet.Utf8(part.Text), part.Hole))];
    }

    internal void Append(Utf8Text target, in ReasonFact fact, ItemCourse course)
    {
        foreach (ref readonly var part in _parts.AsSpan())
        {
            target.Append(part.Text);
            switch (part.Hole)
            {
                case ReasonHole.None:
                    break;
                case ReasonHole.Day:
                    target.AppendDate(fact.Day);
                    break;
                case ReasonHole.Value:
                    target.AppendDate(fact.Value);
                    break;
                case ReasonHole.Days:
                    target.Append(fact.Value);
                    break;
                default:
                    target.Append(PreparedSet.Utf8(ReasonText.WordOf(part.Hole, fact.Value, course)));
                    break;
            }
        }
    }
}

/// <summary>Writes one child's answer as JSON on one line. One instance per thread; its room is reused from child to child.</summary>
internal sealed class ExplainWriter(PreparedSet prepared)
{
    private readonly List<ReasonFact> _facts = [];
    private readonly int[] _days = new int[prepared.Interpreter.Windows.DayCount];

    /// <summary>Appends the answer and a line end.</summary>
    internal void Append(Utf8Text target, ExplainRequest request)
    {
        target.Append("{"u8);
        if (request.Id is not null)
        {
            target.Append(PreparedSet.Utf8($"\"id\":{PreparedSet.Json(request.Id)},"));
        }
        target.Append(prepared.Start);
        target.AppendDate(request.On.DayNumber);
        AppendAges(target, ChildAges.Of(request.Child.Birth, request.On, prepared.Interpreter.Policy));
        target.Append(",\"items\":["u8);
        AppendItems(target, request);
        target.Append("]}\n"u8);
    }

    private void AppendAges(Utf8Text target, ChildAges ages)
    {
        target.Append(prepared.Bases[(int)ages.Basis]);
        AppendAge(target, ages.Chronological);
        target.Append(",\"corrected\":"u8);
        AppendAge(target, ages.Corrected);
        if (ages.Postmenstrual is { } postmenstrual)
        {
            target.Append(",\"postmenstrual\":{\"weeks\":"u8);
            target.Append(postmenstrual.Weeks);
            target.Append(",\"days\":"u8);
            target.Append(postmenstrual.Days);
            target.Append("}"u8);
        }
        else
        {
            target.Append(",\"postmenstrual\":null"u8);
        }
        target.Append(",\"days\":{\"chronological\":"u8);
        target.Append(ages.Chronological.TotalDays);
        target.Append(",\"corrected\":"u8);
        if (ages.Corrected is { } corrected)
        {
            target.Append(corrected.TotalDays);
        }
        else
        {
            target.Append("null"u8);
        }
        target.Append("},\"expectedOn\":"u8);
        AppendDay(target, ages.ExpectedOn?.DayNumber ?? 0);
        target.Append(",\"cautions\":["u8);
        for (var index = 0; index < ages.Cautions.Count; index++)
        {
            target.Append(index == 0 ? ""u8 : ","u8);
            target.Append(prepared.Cautions[(int)ages.Cautions[index]]);
        }
        target.Append("]}"u8);
    }

    private void AppendItems(Utf8Text target, ExplainRequest request)
    {
        var interpreter = prepared.Interpreter;
        var child = ChildDays.Of(request.Child.Birth, interpreter.Policy, request.Child.FollowedFromOn);
        interpreter.Windows.FillDays(child, _days);
        var standing = request.Findings.Count == 0 ? null : StandingFindings.Of(request.Findings).ToLookup(finding => finding.Item);
        for (var index = 0; index < prepared.Items.Length; index++)
        {
            var item = interpreter.Set.Items[index];
            var window = interpreter.Windows.WindowOf(index, child, _days);
            var evidence = standing is null ? [] : interpreter.EvidenceOf(index, standing[item.Id]);
            _facts.Clear();
            var trace = new ListTrace(_facts);
            var verdict = interpreter.Evaluate(index, window, evidence, child, request.On.DayNumber, ref trace);
            target.Append(index == 0 ? ""u8 : ","u8);
            AppendItem(target, index, item.Course, window, verdict);
        }
    }

    private void AppendItem(Utf8Text target, int index, ItemCourse course, in ItemWindow window, in ItemVerdict verdict)
    {
        target.Append(prepared.Items[index]);
        target.Append(prepared.States[(int)verdict.State]);
        AppendDay(target, verdict.Since);
        if (verdict.Step > 0)
        {
            target.Append(",\"step\":"u8);
            target.Append(verdict.Step);
        }
        if (verdict.State == ItemState.AbsentWhenExpected)
        {
            target.Append(verdict.IsConfirmed ? ",\"confirmed\":true"u8 : ",\"confirmed\":false"u8);
        }
        target.Append(",\"expectedFrom\":"u8);
        AppendDay(target, window.ExpectedFrom);
        target.Append(",\"usualFrom\":"u8);
        AppendDay(target, window.UsualFrom);
        target.Append(",\"usualThrough\":"u8);
        AppendDay(target, window.UsualThrough);
        target.Append(",\"latestThrough\":"u8);
        AppendDay(target, window.LatestThrough);
        if (verdict.Purpose == CheckPurpose.None)
        {
            target.Append(",\"nextCheck\":null,\"nextChangeOn\":"u8);
        }
        else
        {
            target.Append(",\"nextCheck\":{\"from\":\""u8);
            target.AppendDate(verdict.CheckFrom);
            target.Append("\",\"through\":\""u8);
            target.AppendDate(verdict.CheckThrough);
            target.Append(prepared.Purposes[(int)verdict.Purpose]);
        }
        AppendDay(target, verdict.NextChangeOn);
        target.Append(",\"reasons\":["u8);
        var isFirst = true;
        foreach (ref readonly var fact in CollectionsMarshal.AsSpan(_facts))
        {
            target.Append(isFirst ? ""u8 : ","u8);
            isFirst = false;
            prepared.Reasons[index][(int)fact.Code].Append(target, fact, course);
        }
        target.Append("]}"u8);
    }

    private static void AppendAge(Utf8Text target, CalendarAge? age)
    {
        if (age is not { } known)
        {
            target.Append("null"u8);
            return;
        }
        target.Append("{\"years\":"u8);
        target.Append(known.Years);
        target.Append(",\"months\":"u8);
        target.Append(known.Months);
        target.Append(",\"days\":"u8);
        target.Append(known.Days);
        target.Append(",\"totalDays\":"u8);
        target.Append(known.TotalDays);
        target.Append("}"u8);
    }

    private static void AppendDay(Utf8Text target, int dayNumber)
    {
        if (dayNumber is 0 or ItemWindow.None)
        {
            target.Append("null"u8);
            return;
        }
        target.Append("\""u8);
        target.AppendDate(dayNumber);
        target.Append("\""u8);
    }
}
