using System.Buffers.Binary;

namespace Caseload.DemoSeed;

/// <summary>Chance with a fixed seed: the same draws and the same ids on every run.</summary>
internal sealed class SeededSource(int seed)
{
    private readonly Random _random = new(seed);

    /// <summary>A number from 0 up to 1.</summary>
    internal double Share() => _random.NextDouble();

    /// <summary>Whether something happens that happens in this share of cases.</summary>
    internal bool Happens(double share) => _random.NextDouble() < share;

    /// <summary>A number between two others.</summary>
    internal double Between(double least, double most) => least + (most - least) * _random.NextDouble();

    /// <summary>A whole number between two others, both possible.</summary>
    internal int Between(int least, int most) => _random.Next(least, most + 1);

    /// <summary>One of a list.</summary>
    internal T OneOf<T>(IReadOnlyList<T> choices) => choices[_random.Next(choices.Count)];

    /// <summary>A version-7 id whose random part is drawn here.</summary>
    internal Guid IdAt(DateTimeOffset at)
    {
        Span<byte> bytes = stackalloc byte[16];
        _random.NextBytes(bytes);
        Span<byte> milliseconds = stackalloc byte[8];
        BinaryPrimitives.WriteInt64BigEndian(milliseconds, at.ToUnixTimeMilliseconds());
        milliseconds[2..].CopyTo(bytes);
        bytes[6] = (byte)(0x70 | (bytes[6] & 0x0F));
        bytes[8] = (byte)(0x80 | (bytes[8] & 0x3F));
        return new Guid(bytes, bigEndian: true);
    }
}
