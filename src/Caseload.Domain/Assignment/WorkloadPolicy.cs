namespace Caseload.Domain.Assignment;

/// <summary>What work a child makes and how much of it a clinician can do, in minutes. Every default is our assumption, without a source.</summary>
/// <remarks>
/// No published minutes for travel and documentation in early intervention were found; a programme replaces these by what its own people need.
/// </remarks>
public sealed record WorkloadPolicy
{
    /// <summary>The defaults.</summary>
    public static WorkloadPolicy Default { get; } = new();

    /// <summary>Visits in four weeks to a child for whom no other number is set.</summary>
    public int VisitsInFourWeeks { get; init; } = 2;

    /// <summary>Minutes of a visit in the home.</summary>
    public int VisitMinutes { get; init; } = 60;

    /// <summary>Minutes of documentation after a visit.</summary>
    public int DocumentationMinutes { get; init; } = 20;

    /// <summary>Minutes of travel for a visit in a zone the clinician works in.</summary>
    public int TravelMinutes { get; init; } = 20;

    /// <summary>Minutes of travel for a visit in any other zone.</summary>
    public int FarTravelMinutes { get; init; } = 45;

    /// <summary>Minutes in four weeks for talks with family, physician and programme.</summary>
    public int CoordinationMinutes { get; init; } = 20;

    /// <summary>Minutes for each check that is due in the four weeks.</summary>
    public int CheckMinutes { get; init; } = 5;

    /// <summary>Minutes for each open alert that asks for an answer the same day.</summary>
    public int SameDayAlertMinutes { get; init; } = 30;

    /// <summary>Minutes for each open alert that asks for action.</summary>
    public int ActAlertMinutes { get; init; } = 20;

    /// <summary>Minutes for each open advisory alert.</summary>
    public int AdvisoryAlertMinutes { get; init; } = 10;

    /// <summary>Minutes for each open alert to watch.</summary>
    public int WatchAlertMinutes { get; init; } = 5;

    /// <summary>Minutes of a working day.</summary>
    public int DayMinutes { get; init; } = 450;

    /// <summary>Per cent of the working time that is left for children after meetings, training and the rest.</summary>
    public int DirectPercent { get; init; } = 65;

    /// <summary>Checks that the numbers can work; refusals name the property.</summary>
    public Checked<WorkloadPolicy> Check()
    {
        var refusals = new List<Refusal>();
        Range(VisitsInFourWeeks, 1, 40, nameof(VisitsInFourWeeks), "visits");
        Range(VisitMinutes, 15, 240, nameof(VisitMinutes), "minutes");
        Range(DocumentationMinutes, 0, 120, nameof(DocumentationMinutes), "minutes");
        Range(TravelMinutes, 0, 240, nameof(TravelMinutes), "minutes");
        Range(FarTravelMinutes, 0, 480, nameof(FarTravelMinutes), "minutes");
        Range(CoordinationMinutes, 0, 480, nameof(CoordinationMinutes), "minutes");
        Range(CheckMinutes, 0, 60, nameof(CheckMinutes), "minutes");
        Range(SameDayAlertMinutes, 0, 240, nameof(SameDayAlertMinutes), "minutes");
        Range(ActAlertMinutes, 0, 240, nameof(ActAlertMinutes), "minutes");
        Range(AdvisoryAlertMinutes, 0, 240, nameof(AdvisoryAlertMinutes), "minutes");
        Range(WatchAlertMinutes, 0, 240, nameof(WatchAlertMinutes), "minutes");
        Range(DayMinutes, 60, 720, nameof(DayMinutes), "minutes");
        Range(DirectPercent, 10, 100, nameof(DirectPercent), "per cent");
        if (FarTravelMinutes < TravelMinutes)
        {
            refusals.Add(new Refusal(nameof(FarTravelMinutes), "Travel to another zone cannot be shorter than travel in the own one."));
        }
        return refusals.Count == 0 ? Checked.Accept(this) : Checked.Refuse<WorkloadPolicy>(refusals);

        void Range(int value, int least, int most, string field, string unit)
        {
            if (value < least || value > most)
            {
                refusals.Add(new Refusal(field, $"Enter a number of {unit} from {least} to {most}."));
            }
        }
    }
}
