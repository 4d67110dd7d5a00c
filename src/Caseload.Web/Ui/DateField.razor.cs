using System.Globalization;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Ui;

/// <summary>The one way a date is entered: the browser's own date input, which tablets answer with their own picker.</summary>
public partial class DateField
{
    /// <summary>The field's element id.</summary>
    [Parameter, EditorRequired]
    public string Id { get; set; } = "";

    /// <summary>What it asks for.</summary>
    [Parameter, EditorRequired]
    public string Label { get; set; } = "";

    /// <summary>The date, or null.</summary>
    [Parameter]
    public DateOnly? Value { get; set; }

    /// <summary>Raised with the new date, or null when it is empty or not complete.</summary>
    [Parameter]
    public EventCallback<DateOnly?> ValueChanged { get; set; }

    /// <summary>First date offered.</summary>
    [Parameter]
    public DateOnly? Earliest { get; set; }

    /// <summary>Last date offered.</summary>
    [Parameter]
    public DateOnly? Latest { get; set; }

    /// <summary>Help under the field.</summary>
    [Parameter]
    public string? Hint { get; set; }

    /// <summary>What is wrong with it and what to do.</summary>
    [Parameter]
    public string? Problem { get; set; }

    // Not written in the markup: there the compiler would bind a date and keep silent about text that is not one.
    private const string DateType = "date";

    private string Text => Iso(Value) ?? "";

    private static string? Iso(DateOnly? on) => on?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private Task ChangeAsync(string? text) =>
        ValueChanged.InvokeAsync(
            DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var on) ? on : null
        );
}
