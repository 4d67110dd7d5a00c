using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Policy;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Programmes;

/// <summary>The numbers for alerts, the digest and mail; everybody may read them.</summary>
public partial class AlertPolicyEditor
{
    private static readonly DayOfWeek[] Days =
    [
        DayOfWeek.Monday,
        DayOfWeek.Tuesday,
        DayOfWeek.Wednesday,
        DayOfWeek.Thursday,
        DayOfWeek.Friday,
        DayOfWeek.Saturday,
        DayOfWeek.Sunday,
    ];

    /// <summary>The form.</summary>
    [Parameter, EditorRequired]
    public AlertPolicyForm Form { get; set; } = default!;

    /// <summary>The programme's time zone, in which the hour is meant.</summary>
    [Parameter, EditorRequired]
    public string TimeZoneId { get; set; } = "";

    /// <summary>Whether the person may change it.</summary>
    [Parameter, EditorRequired]
    public bool MayChange { get; set; }

    /// <summary>What was refused.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Refusals { get; set; } = [];

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>What was saved last.</summary>
    [Parameter]
    public string? Saved { get; set; }

    /// <summary>Asked for when it shall be saved.</summary>
    [Parameter]
    public EventCallback OnSave { get; set; }

    /// <summary>Asked for when the defaults shall be filled in.</summary>
    [Parameter]
    public EventCallback OnDefaults { get; set; }

    private static string HourWords(int hour) => string.Create(CultureInfo.InvariantCulture, $"{hour:00}:00");

    private static string NamingWords(MailNaming naming) =>
        naming switch
        {
            MailNaming.Code => "By the code only",
            MailNaming.CodeAndInitials => "By the code and the initials",
            _ => throw new ArgumentOutOfRangeException(nameof(naming)),
        };
}
