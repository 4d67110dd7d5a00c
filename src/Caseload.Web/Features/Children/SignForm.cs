using Caseload.Domain.Alerts;

namespace Caseload.Web.Features.Children;

/// <summary>A sign while it is being entered.</summary>
public sealed class SignForm(Guid id, DateOnly todayOn)
{
    /// <summary>The row's id; the same however often it is sent.</summary>
    public Guid Id { get; } = id;

    /// <summary>The sign.</summary>
    public UrgentSign? Sign { get; set; }

    /// <summary>The day on which it was seen.</summary>
    public DateOnly? SeenOn { get; set; } = todayOn;

    /// <summary>A note for colleagues.</summary>
    public string Note { get; set; } = "";
}
