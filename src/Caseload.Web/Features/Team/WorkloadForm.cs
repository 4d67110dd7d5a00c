using Caseload.Domain;
using Caseload.Domain.Assignment;
using Caseload.Web.Ui;

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
) : INumberField<WorkloadPolicy>
{
    /// <summary>Every number, in the order of the formula.</summary>
    public static IReadOnlyList<WorkloadField> All { get; } =
    [
        new(
            nameof(WorkloadPolicy.VisitsInFourWeeks),
            "Visits in four weeks, where a child has no number of its own",
            "visits",
            row => row.VisitsInFourWeeks,
            (row, value) => row with { VisitsInFourWeeks = value }
        ),
        new(
            nameof(WorkloadPolicy.VisitMinutes),
            "A visit",
            "minutes",
            row => row.VisitMinutes,
            (row, value) => row with { VisitMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.DocumentationMinutes),
            "Documentation after a visit",
            "minutes",
            row => row.DocumentationMinutes,
            (row, value) => row with { DocumentationMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.TravelMinutes),
            "Travel for a visit in the clinician's zones",
            "minutes",
            row => row.TravelMinutes,
            (row, value) => row with { TravelMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.FarTravelMinutes),
            "Travel for a visit elsewhere",
            "minutes",
            row => row.FarTravelMinutes,
            (row, value) => row with { FarTravelMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.CheckMinutes),
            "Each check due in the four weeks",
            "minutes",
            row => row.CheckMinutes,
            (row, value) => row with { CheckMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.SameDayAlertMinutes),
            "Each open same-day alert",
            "minutes",
            row => row.SameDayAlertMinutes,
            (row, value) => row with { SameDayAlertMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.ActAlertMinutes),
            "Each open alert that asks to act",
            "minutes",
            row => row.ActAlertMinutes,
            (row, value) => row with { ActAlertMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.AdvisoryAlertMinutes),
            "Each open advisory alert",
            "minutes",
            row => row.AdvisoryAlertMinutes,
            (row, value) => row with { AdvisoryAlertMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.WatchAlertMinutes),
            "Each open alert to watch",
            "minutes",
            row => row.WatchAlertMinutes,
            (row, value) => row with { WatchAlertMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.CoordinationMinutes),
            "Talks with family, physician and programme in four weeks",
            "minutes",
            row => row.CoordinationMinutes,
            (row, value) => row with { CoordinationMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.DayMinutes),
            "A working day",
            "minutes",
            row => row.DayMinutes,
            (row, value) => row with { DayMinutes = value }
        ),
        new(
            nameof(WorkloadPolicy.DirectPercent),
            "Share of the working time that is left for children",
            "per cent",
            row => row.DirectPercent,
            (row, value) => row with { DirectPercent = value }
        ),
    ];
}

/// <summary>The workload policy while it is being typed.</summary>
public sealed class WorkloadForm(WorkloadPolicy policy)
{
    private NumberTexts<WorkloadPolicy> _texts = new(WorkloadField.All, policy);

    /// <summary>The policy that the form was made from.</summary>
    public WorkloadPolicy Seen => policy;

    /// <summary>What was typed into a field.</summary>
    public string this[WorkloadField field]
    {
        get => _texts[field];
        set => _texts[field] = value;
    }

    /// <summary>Puts the defaults into every field.</summary>
    public void FillDefaults() => _texts = new NumberTexts<WorkloadPolicy>(WorkloadField.All, WorkloadPolicy.Default);

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<WorkloadPolicy> Read() => _texts.Read(policy, read => read.Check());
}
