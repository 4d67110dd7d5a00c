using Caseload.Data.Programmes;

namespace Caseload.Web.Ui;

/// <summary>Disciplines in words.</summary>
public static class DisciplineWords
{
    /// <summary>What a discipline is called.</summary>
    public static string Of(Discipline discipline) =>
        discipline switch
        {
            Discipline.OccupationalTherapy => "Occupational therapy",
            Discipline.PhysicalTherapy => "Physical therapy",
            Discipline.SpeechLanguage => "Speech-language pathology",
            Discipline.Other => "Other discipline",
            _ => throw new ArgumentOutOfRangeException(nameof(discipline)),
        };
}
