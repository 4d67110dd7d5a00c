using System.Globalization;
using Caseload.Domain;

namespace Caseload.Web.Ui;

/// <summary>A number of a policy as a form asks for it.</summary>
/// <typeparam name="T">The policy.</typeparam>
public interface INumberField<T>
{
    /// <summary>The property, which refusals name too.</summary>
    string Name { get; }

    /// <summary>Reads it.</summary>
    Func<T, int> Read { get; }

    /// <summary>A policy with another value.</summary>
    Func<T, int, T> Write { get; }
}

/// <summary>A policy's numbers while they are being typed; texts stay as they were typed until they are read.</summary>
/// <typeparam name="T">The policy.</typeparam>
/// <param name="fields">The numbers.</param>
/// <param name="policy">What the form begins with.</param>
public sealed class NumberTexts<T>(IEnumerable<INumberField<T>> fields, T policy)
{
    private readonly Dictionary<string, (INumberField<T> Field, string Text)> _texts = fields.ToDictionary(
        field => field.Name,
        field => (field, field.Read(policy).ToString(CultureInfo.InvariantCulture))
    );

    /// <summary>What was typed into a field.</summary>
    public string this[INumberField<T> field]
    {
        get => _texts[field.Name].Text;
        set => _texts[field.Name] = (field, value);
    }

    /// <summary>A policy with the numbers, or everything that keeps them from being numbers, and then what the policy itself refuses.</summary>
    /// <param name="rest">The policy with everything that is not a number here.</param>
    /// <param name="check">Checks the whole.</param>
    public Checked<T> Read(T rest, Func<T, Checked<T>> check)
    {
        var read = rest;
        var refusals = new List<Refusal>();
        foreach (var (field, text) in _texts.Values)
        {
            if (int.TryParse(text.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var value))
            {
                read = field.Write(read, value);
            }
            else
            {
                refusals.Add(new Refusal(field.Name, "Use a whole number."));
            }
        }
        return refusals.Count > 0 ? Checked.Refuse<T>(refusals) : check(read);
    }
}
