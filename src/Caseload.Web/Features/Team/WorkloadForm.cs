using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Assignment;

namespace Caseload.Web.Features.Team;

/// <summary>A number of the workload policy as the form asks for it.</summary>
/// <param name="Name">The property, which refusals name too.</param>
/// <param name="Label">What it asks for.</param>
/// <param name="Unit">The unit.</param>
/// <param name="Read">Reads it.</param>
/// <param name="Write">A policy with another value.</param>
public sealed record WorkloadField(
    string Name,
    string Label,
    string Unit,
    Func<WorkloadPolicy, int> Read,
    Func<WorkloadPolicy, int, WorkloadPolicy> Write
)
{
    /// <summary>Every number, in the order of the formula.</summary>
    public static IReadOnlyList<WorkloadField> All { get; } =
    [
        Of(
            nameof(WorkloadPolicy.VisitsInFourWeeks),
            "Visits in four weeks, where a child has no number of its own",
            "visits",
            row => row.VisitsInFourWeeks,
            (row, value) => row with { VisitsInFourWeeks = value }
        ),
        Of(
            nameof(WorkloadPolicy.VisitMinutes),
            "A visit",
            "minutes",
            row => row.VisitMinutes,
            (row, value) => row with { VisitMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.DocumentationMinutes),
            "Documentation after a visit",
            "minutes",
            row => row.DocumentationMinutes,
            (row, value) => row with { DocumentationMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.TravelMinutes),
            "Travel for a visit in the clinician's zones",
            "minutes",
            row => row.TravelMinutes,
            (row, value) => row with { TravelMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.FarTravelMinutes),
            "Travel for a visit elsewhere",
            "minutes",
            row => row.FarTravelMinutes,
            (row, value) => row with { FarTravelMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.CheckMinutes),
            "Each check due in the four weeks",
            "minutes",
            row => row.CheckMinutes,
            (row, value) => row with { CheckMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.SameDayAlertMinutes),
            "Each open same-day alert",
            "minutes",
            row => row.SameDayAlertMinutes,
            (row, value) => row with { SameDayAlertMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.ActAlertMinutes),
            "Each open alert that asks to act",
            "minutes",
            row => row.ActAlertMinutes,
            (row, value) => row with { ActAlertMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.AdvisoryAlertMinutes),
            "Each open advisory alert",
            "minutes",
            row => row.AdvisoryAlertMinutes,
            (row, value) => row with { AdvisoryAlertMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.WatchAlertMinutes),
            "Each open alert to watch",
            "minutes",
            row => row.WatchAlertMinutes,
            (row, value) => row with { WatchAlertMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.CoordinationMinutes),
            "Talks with family, physician and programme in four weeks",
            "minutes",
            row => row.CoordinationMinutes,
            (row, value) => row with { CoordinationMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.DayMinutes),
            "A working day",
            "minutes",
            row => row.DayMinutes,
            (row, value) => row with { DayMinutes = value }
        ),
        Of(
            nameof(WorkloadPolicy.DirectPercent),
            "Share of the working time that is left for children",
            "per cent",
            row => row.DirectPercent,
            (row, value) => row with { DirectPercent = value }
        ),
    ];

    private static WorkloadField Of(
        string name,
        string label,
        string unit,
        Func<WorkloadPolicy, int> read,
        Func<WorkloadPolicy, int, WorkloadPolicy> write
    ) => new(name, label, unit, read, write);
}

/// <summary>The workload policy while it is being typed.</summary>
public sealed class WorkloadForm(WorkloadPolicy policy)
{
    private readonly Dictionary<string, string> _texts = WorkloadField.All.ToDictionary(
        field => field.Name,
        field => field.Read(policy).ToString(CultureInfo.InvariantCulture)
    );

    /// <summary>The policy that the form was made from.</summary>
    public WorkloadPolicy Seen => policy;

    /// <summary>What was typed into a field.</summary>
    public string this[WorkloadField field]
    {
        get => _texts[field.Name];
        set => _texts[field.Name] = value;
    }

    /// <summary>Puts the defaults into every field.</summary>
    public void FillDefaults()
    {
        foreach (var field in WorkloadField.All)
        {
            _texts[field.Name] = field.Read(WorkloadPolicy.Default).ToString(CultureInfo.InvariantCulture);
        }
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<WorkloadPolicy> Read()
    {
        var read = policy;
        var refusals = new List<Refusal>();
        foreach (var field in WorkloadField.All)
        {
            if (int.TryParse(_texts[field.Name].Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var value))
            {
                read = field.Write(read, value);
            }
            else
            {
                refusals.Add(new Refusal(field.Name, "Use a whole number."));
            }
        }
        return refusals.Count > 0 ? Checked.Refuse<WorkloadPolicy>(refusals) : read.Check();
    }
}
