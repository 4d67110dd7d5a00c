using Caseload.Data.Programmes;

namespace Caseload.Web.Features.Programmes;

/// <summary>A clinician while being typed.</summary>
/// <param name="id">The id.</param>
public sealed class ClinicianForm(Guid id)
{
    /// <summary>The id.</summary>
    public Guid Id => id;

    /// <summary>The version that was loaded; null for a new one.</summary>
    public uint? RowVersion { get; init; }

    /// <summary>The name.</summary>
    public string Name { get; set; } = "";

    /// <summary>The initials.</summary>
    public string Initials { get; set; } = "";

    /// <summary>The discipline.</summary>
    public Discipline Discipline { get; set; }

    /// <summary>Whether the clinician works here now.</summary>
    public bool IsActive { get; init; } = true;

    /// <summary>What a discipline is called.</summary>
    public static string NameOf(Discipline discipline) =>
        discipline switch
        {
            Discipline.OccupationalTherapy => "Occupational therapy",
            Discipline.PhysicalTherapy => "Physical therapy",
            Discipline.SpeechLanguage => "Speech-language pathology",
            Discipline.Other => "Other discipline",
            _ => throw new ArgumentOutOfRangeException(nameof(discipline)),
        };
}
