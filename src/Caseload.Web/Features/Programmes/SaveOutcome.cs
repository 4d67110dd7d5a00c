using Caseload.Domain;

namespace Caseload.Web.Features.Programmes;

/// <summary>What became of saving a part of the programme's settings.</summary>
public abstract record SaveOutcome
{
    private SaveOutcome() { }

    /// <summary>It is saved.</summary>
    /// <param name="RowVersion">The version of the saved row.</param>
    /// <param name="ChildCount">How many children's statuses were worked out anew; 0 when none had to be.</param>
    public sealed record Done(uint RowVersion, int ChildCount = 0) : SaveOutcome;

    /// <summary>Something entered cannot be saved; nothing was.</summary>
    /// <param name="Refusals">Every reason, by field.</param>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : SaveOutcome;

    /// <summary>Somebody else saved first; nothing was saved now.</summary>
    public sealed record ChangedMeanwhile : SaveOutcome;
}
