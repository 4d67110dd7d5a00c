using Caseload.Data;

namespace Caseload.DemoSeed;

/// <summary>Placeholder until the seed lands.</summary>
public static class DemoCaseload
{
    /// <summary>Sets up the programme only.</summary>
    public static Task LoadAsync(CaseloadDb db, DateOnly todayOn, TimeProvider time, CancellationToken ct) =>
        db.CreateProgrammeAsync(Guid.CreateVersion7(time.GetUtcNow()), $"Larkfield {todayOn:yyyy}", "UTC", time.GetUtcNow(), ct);
}
