using Caseload.Domain;

namespace Caseload.Web.Features.Team;

/// <summary>A cover while it is being entered.</summary>
public sealed class CoverForm
{
    /// <summary>Who is away.</summary>
    public Guid? AbsentClinicianId { get; set; }

    /// <summary>Who sees the children meanwhile; null while that is not settled.</summary>
    public Guid? CoveringClinicianId { get; set; }

    /// <summary>Whether several colleagues will share the children, which is settled afterwards.</summary>
    public bool IsShared { get; set; }

    /// <summary>First day.</summary>
    public DateOnly? FromOn { get; set; }

    /// <summary>Last day.</summary>
    public DateOnly? ThroughOn { get; set; }

    /// <summary>What can be seen to be wrong without asking the store.</summary>
    public IReadOnlyList<Refusal> Check(DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        if (AbsentClinicianId is null)
        {
            refusals.Add(new Refusal("absent", "Choose who is away."));
        }
        if (CoveringClinicianId is null && !IsShared)
        {
            refusals.Add(new Refusal("covering", "Choose who sees the children meanwhile, or that colleagues share them."));
        }
        else if (CoveringClinicianId is not null && CoveringClinicianId == AbsentClinicianId)
        {
            refusals.Add(new Refusal("covering", "Choose somebody other than who is away."));
        }
        if (FromOn is null)
        {
            refusals.Add(new Refusal("from", "Enter the first day."));
        }
        if (ThroughOn is null)
        {
            refusals.Add(new Refusal("through", "Enter the last day."));
        }
        else if (ThroughOn < FromOn)
        {
            refusals.Add(new Refusal("through", "The last day cannot lie before the first."));
        }
        else if (ThroughOn < todayOn)
        {
            refusals.Add(new Refusal("through", "The last day is past. A cover is for today or later."));
        }
        else if (FromOn is { } fromOn && ThroughOn > fromOn.AddYears(1))
        {
            refusals.Add(new Refusal("through", "A cover lasts a year at most. For longer, give the children to the colleague."));
        }
        return refusals;
    }
}
