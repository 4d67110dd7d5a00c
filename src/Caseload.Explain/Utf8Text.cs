namespace Caseload.Explain;

/// <summary>A growing run of UTF-8 bytes, reused from answer to answer.</summary>
/// <remarks>
/// The batch writes some twenty kilobytes a child, nearly all of it known before the first child comes. Copying prepared pieces is
/// several times faster than asking a JSON writer for every name, quote and comma.
/// </remarks>
internal sealed class Utf8Text
{
    private byte[] _bytes = new byte[64 * 1024];
    private int _length;

    /// <summary>What was written since the last <see cref="Clear"/>.</summary>
    internal ReadOnlySpan<byte> Written => _bytes.AsSpan(0, _length);

    /// <summary>Forgets what was written and keeps the room.</summary>
    internal void Clear() => _length = 0;

    /// <summary>Appends bytes as they are.</summary>
    internal void Append(ReadOnlySpan<byte> bytes)
    {
        if (_length + bytes.Length > _bytes.Length)
        {
            Array.Resize(ref _bytes, Math.Max(_bytes.Length * 2, _length + bytes.Length));
        }
        bytes.CopyTo(_bytes.AsSpan(_length));
        _length += bytes.Length;
    }

    /// <summary>Appends a number.</summary>
    internal void Append(int number)
    {
        Span<byte> digits = stackalloc byte[11];
        number.TryFormat(digits, out var length, default, System.Globalization.CultureInfo.InvariantCulture);
        Append(digits[..length]);
    }

    /// <summary>Appends a day as year-month-day.</summary>
    internal void AppendDate(int dayNumber)
    {
        var (year, month, day) = DateOnly.FromDayNumber(dayNumber);
        Span<byte> date =
        [
            (byte)('0' + year / 1000),
            (byte)('0' + year / 100 % 10),
            (byte)('0' + year / 10 % 10),
            (byte)('0' + year % 10),
            (byte)'-',
            (byte)('0' + month / 10),
            (byte)('0' + month % 10),
            (byte)'-',
            (byte)('0' + day / 10),
            (byte)('0' + day % 10),
        ];
        Append(date);
    }
}
