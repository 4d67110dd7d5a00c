using Caseload.Data;
using Caseload.Domain;

namespace Caseload.Web.Features.Team;

/// <summary>An assignment while it is being entered.</summary>
public sealed class AssignForm
{
    /// <summary>Who becomes responsible.</summary>
    public Guid? ClinicianId { get; set; }

    /// <summary>Whether the children shall be with nobody.</summary>
    public bool IsNobody { get; set; }

    /// <summary>First day.</summary>
    public DateOnly? FromOn { get; set; }

    /// <summary>What the next clinician should know.</summary>
    public string Handover { get; set; } = "";

    /// <summary>What can be seen to be wrong without asking the store.</summary>
    public IReadOnlyList<Refusal> Check()
    {
        var refusals = new List<Refusal>();
        if (ClinicianId is null && !IsNobody)
        {
            refusals.Add(new Refusal("to", "Choose who becomes responsible."));
        }
        if (FromOn is null)
        {
            refusals.Add(new Refusal("from", "Enter the first day."));
        }
        if (Handover.Trim().Length > TextLimits.Note)
        {
            refusals.Add(
                new Refusal("handover", $"The note may have {TextLimits.Note} characters; it has {Handover.Trim().Length}. Shorten it.")
            );
        }
        return refusals;
    }
}
