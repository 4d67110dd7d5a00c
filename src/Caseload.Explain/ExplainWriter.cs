using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Explain;

/// <summary>Writes one child's answer as a JSON document. One instance per thread; its buffers are reused from child to child.</summary>
[System.Diagnostics.CodeAnalysis.SuppressMessage("Design", "CA1001", Justification = "The JSON writer holds memory of ours only.")]
internal sealed class ExplainWriter
{
    private readonly Interpreter _interpreter;
    private readonly ArrayBufferWriter<byte> _output = new(64 * 1024);
    private readonly Utf8JsonWriter _json;
    private readonly List<ReasonFact> _facts = [];
    private readonly StringBuilder _text = new(1024);
    private readonly char[] _characters = new char[1024];
    private readonly int[] _days;
    private readonly JsonEncodedText[] _ids;
    private readonly JsonEncodedText[] _states = Encode<ItemState>();
    private readonly JsonEncodedText[] _codes = Encode<ReasonCode>();
    private readonly JsonEncodedText[] _purposes = Encode<CheckPurpose>();
    private readonly JsonEncodedText _set;

    // Encoded once: [item][reason code] to the source keys as they are written.
    private readonly byte[][][] _sources;

    internal ExplainWriter(Interpreter interpreter, bool isIndented)
    {
        _interpreter = interpreter;
        _json = new Utf8JsonWriter(
            _output,
            new JsonWriterOptions
            {
                Indented = isIndented,
                SkipValidation = true,
                Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            }
        );
        _days = new int[interpreter.Windows.DayCount];
        _ids = [.. interpreter.Set.Items.Select(item => JsonEncodedText.Encode(item.Id))];
        _set = JsonEncodedText.Encode(interpreter.Set.Key);
        _sources =
        [
            .. interpreter.Set.Items.Select(item => Enum.GetValues<ReasonCode>().Select(code => EncodeSources(code, item)).ToArray()),
        ];
    }

    /// <summary>The answer; valid until the next call.</summary>
    internal ReadOnlySpan<byte> Write(ExplainRequest request)
    {
        _output.ResetWrittenCount();
        Append(request);
        return _output.WrittenSpan;
    }

    /// <summary>Appends the answer and a line end to a stream's worth of answers.</summary>
    internal void WriteLine(ExplainRequest request, IBufferWriter<byte> target)
    {
        target.Write(Write(request));
        target.Write("\n"u8);
    }

    private void Append(ExplainRequest request)
    {
        _json.Reset(_output);
        _json.WriteStartObject();
        if (request.Id is not null)
        {
            _json.WriteString("id"u8, request.Id);
        }
        _json.WriteString("set"u8, _set);
        WriteDate("on"u8, request.On.DayNumber);
        WriteAges(request);
        _json.WriteStartArray("items"u8);
        WriteItems(request);
        _json.WriteEndArray();
        _json.WriteEndObject();
        _json.Flush();
    }

    private void WriteAges(ExplainRequest request)
    {
        var ages = ChildAges.Of(request.Child.Birth, request.On, _interpreter.Policy);
        _json.WriteStartObject("ages"u8);
        _json.WriteString("basis"u8, ages.Basis.ToWord());
        WriteAge("chronological"u8, ages.Chronological);
        WriteAge("corrected"u8, ages.Corrected);
        if (ages.Postmenstrual is { } postmenstrual)
        {
            _json.WriteStartObject("postmenstrual"u8);
            _json.WriteNumber("weeks"u8, postmenstrual.Weeks);
            _json.WriteNumber("days"u8, postmenstrual.Days);
            _json.WriteEndObject();
        }
        else
        {
            _json.WriteNull("postmenstrual"u8);
        }
        _json.WriteStartObject("days"u8);
        _json.WriteNumber("chronological"u8, ages.Chronological.TotalDays);
        if (ages.Corrected is { } corrected)
        {
            _json.WriteNumber("corrected"u8, corrected.TotalDays);
        }
        else
        {
            _json.WriteNull("corrected"u8);
        }
        _json.WriteEndObject();
        WriteDate("expectedOn"u8, ages.ExpectedOn?.DayNumber ?? 0);
        _json.WriteStartArray("cautions"u8);
        foreach (var caution in ages.Cautions)
        {
            _json.WriteStartObject();
            _json.WriteString("code"u8, caution.ToWord());
            _json.WriteString("text"u8, Labels.Of(caution));
            _json.WriteEndObject();
        }
        _json.WriteEndArray();
        _json.WriteEndObject();
    }

    private void WriteItems(ExplainRequest request)
    {
        var policy = _interpreter.Policy;
        var child = ChildDays.Of(request.Child.Birth, policy, request.Child.FollowedFromOn);
        _interpreter.Windows.FillDays(child, _days);
        var standing = request.Findings.Count == 0 ? null : StandingFindings.Of(request.Findings).ToLookup(finding => finding.Item);
        for (var index = 0; index < _ids.Length; index++)
        {
            var item = _interpreter.Set.Items[index];
            var window = _interpreter.Windows.WindowOf(index, child, _days);
            var evidence = standing is null ? [] : _interpreter.EvidenceOf(index, standing[item.Id]);
            _facts.Clear();
            var trace = new ListTrace(_facts);
            var verdict = _interpreter.Evaluate(index, window, evidence, child, request.On.DayNumber, ref trace);
            WriteItem(index, item, window, verdict);
        }
    }

    private void WriteItem(int index, ReferenceItem item, in ItemWindow window, in ItemVerdict verdict)
    {
        _json.WriteStartObject();
        _json.WriteString("id"u8, _ids[index]);
        _json.WriteString("state"u8, _states[(int)verdict.State]);
        WriteDate("since"u8, verdict.Since);
        if (verdict.Step > 0)
        {
            _json.WriteNumber("step"u8, verdict.Step);
        }
        if (verdict.State == ItemState.AbsentWhenExpected)
        {
            _json.WriteBoolean("confirmed"u8, verdict.IsConfirmed);
        }
        WriteDate("expectedFrom"u8, window.ExpectedFrom);
        WriteDate("usualFrom"u8, window.UsualFrom);
        WriteDate("usualThrough"u8, window.UsualThrough);
        WriteDate("latestThrough"u8, window.LatestThrough);
        if (verdict.Purpose == CheckPurpose.None)
        {
            _json.WriteNull("nextCheck"u8);
        }
        else
        {
            _json.WriteStartObject("nextCheck"u8);
            WriteDate("from"u8, verdict.CheckFrom);
            WriteDate("through"u8, verdict.CheckThrough);
            _json.WriteString("purpose"u8, _purposes[(int)verdict.Purpose]);
            _json.WriteEndObject();
        }
        WriteDate("nextChangeOn"u8, verdict.NextChangeOn);
        _json.WriteStartArray("reasons"u8);
        foreach (ref readonly var fact in System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_facts))
        {
            _json.WriteStartObject();
            _json.WriteString("code"u8, _codes[(int)fact.Code]);
            _text.Clear();
            ReasonText.Append(_text, fact, item);
            _text.CopyTo(0, _characters, _text.Length);
            _json.WriteString("text"u8, _characters.AsSpan(0, _text.Length));
            _json.WritePropertyName("sources"u8);
            _json.WriteRawValue(_sources[index][(int)fact.Code], skipInputValidation: true);
            _json.WriteEndObject();
        }
        _json.WriteEndArray();
        _json.WriteEndObject();
    }

    private void WriteAge(ReadOnlySpan<byte> name, CalendarAge? age)
    {
        if (age is not { } known)
        {
            _json.WriteNull(name);
            return;
        }
        _json.WriteStartObject(name);
        _json.WriteNumber("years"u8, known.Years);
        _json.WriteNumber("months"u8, known.Months);
        _json.WriteNumber("days"u8, known.Days);
        _json.WriteNumber("totalDays"u8, known.TotalDays);
        _json.WriteEndObject();
    }

    private void WriteDate(ReadOnlySpan<byte> name, int dayNumber)
    {
        if (dayNumber is 0 or ItemWindow.None)
        {
            _json.WriteNull(name);
            return;
        }
        Span<byte> date = stackalloc byte[10];
        DateOnly.FromDayNumber(dayNumber).TryFormat(date, out _, "O", CultureInfo.InvariantCulture);
        _json.WriteString(name, date);
    }

    private static JsonEncodedText[] Encode<T>()
        where T : struct, Enum => [.. Enum.GetValues<T>().Select(value => JsonEncodedText.Encode(value.ToWord()))];

    private static byte[] EncodeSources(ReasonCode code, ReferenceItem item) =>
        Encoding.UTF8.GetBytes(
            "[" + string.Join(',', ReasonText.SourcesOf(code, item).Select(key => $"\"{JsonEncodedText.Encode(key)}\"")) + "]"
        );
}
