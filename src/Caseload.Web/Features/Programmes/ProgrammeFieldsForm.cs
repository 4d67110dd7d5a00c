namespace Caseload.Web.Features.Programmes;

/// <summary>The programme's name and time zone while they are being typed.</summary>
public sealed class ProgrammeFieldsForm
{
    /// <summary>The name.</summary>
    public string Name { get; set; } = "";

    /// <summary>The time zone.</summary>
    public string TimeZoneId { get; set; } = "";
}
