namespace Caseload.Domain;

/// <summary>One thing that is wrong with what was entered, tied to the field that can put it right.</summary>
/// <param name="Field">The field's name as the entry form and the command line know it, for example <c>gestation</c>.</param>
/// <param name="Message">What is wrong and what to do, in one or two sentences.</param>
public sealed record Refusal(string Field, string Message);

/// <summary>Either a value that passed every check, or the list of refusals that kept it from existing.</summary>
/// <typeparam name="T">The checked value's type.</typeparam>
public sealed class Checked<T>
{
    private readonly T? _value;

    internal Checked(T? value, IReadOnlyList<Refusal> refusals)
    {
        _value = value;
        Refusals = refusals;
    }

    /// <summary>Whether there is a value; when false, <see cref="Refusals"/> has at least one entry.</summary>
    public bool IsAccepted => Refusals.Count == 0;

    /// <summary>Every reason for refusal, in the order of the fields; empty when accepted.</summary>
    public IReadOnlyList<Refusal> Refusals { get; }

    /// <summary>The accepted value. Asking a refused result for it is a programming error and throws.</summary>
    public T Value => IsAccepted ? _value! : throw new InvalidOperationException("Refused: " + Refusals[0].Message);
}

/// <summary>Makes <see cref="Checked{T}"/> results.</summary>
public static class Checked
{
    /// <summary>A value that passed.</summary>
    public static Checked<T> Accept<T>(T value) => new(value, []);

    /// <summary>A refusal for one field.</summary>
    public static Checked<T> Refuse<T>(string field, string message) => new(default, [new Refusal(field, message)]);

    /// <summary>A refusal for several fields; the list must not be empty.</summary>
    public static Checked<T> Refuse<T>(IReadOnlyList<Refusal> refusals)
    {
        ArgumentOutOfRangeException.ThrowIfZero(refusals.Count);
        return new Checked<T>(default, refusals);
    }
}
