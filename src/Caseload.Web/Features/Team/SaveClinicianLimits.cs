using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Platform.Team;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>What limits a clinician's caseload, while it is being entered.</summary>
public sealed class LimitsForm
{
    private const int MostZones = 12;
    private const int Most = 500;

    /// <summary>Zones as typed, separated by commas, the home zone first.</summary>
    public string Zones { get; set; } = "";

    /// <summary>How many children at most, as typed; empty without a limit.</summary>
    public string MostChildren { get; set; } = "";

    /// <summary>The form of a clinician.</summary>
    public static LimitsForm Of(TeamClinician clinician) =>
        new()
        {
            Zones = string.Join(", ", clinician.Zones),
            MostChildren = clinician.MostChildren?.ToString(CultureInfo.InvariantCulture) ?? "",
        };

    /// <summary>What was entered, or what is wrong with it.</summary>
    public Checked<(IReadOnlyList<string> Zones, int? MostChildren)> Read()
    {
        var refusals = new List<Refusal>();
        IReadOnlyList<string> zones =
        [
            .. Zones
                .Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)
                .Distinct(StringComparer.OrdinalIgnoreCase),
        ];
        if (zones.Count > MostZones || zones.Any(zone => zone.Length > TextLimits.Key))
        {
            refusals.Add(new Refusal("zones", $"Up to {MostZones} zones, each with {TextLimits.Key} characters at most."));
        }
        int? most = null;
        if (MostChildren.Trim().Length > 0)
        {
            most = int.TryParse(MostChildren.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var count) ? count : -1;
            if (most is < 0 or > Most)
            {
                refusals.Add(new Refusal("most", $"Enter a whole number from 0 to {Most}, or leave it empty."));
            }
        }
        return refusals.Count == 0 ? Checked.Accept((zones, most)) : Checked.Refuse<(IReadOnlyList<string>, int?)>(refusals);
    }
}

/// <summary>Saves what limits a clinician's caseload.</summary>
/// <param name="ClinicianId">The clinician.</param>
/// <param name="RowVersion">The version the form was made from.</param>
/// <param name="Form">What was entered.</param>
public sealed record SaveClinicianLimits(Guid ClinicianId, uint RowVersion, LimitsForm Form);

/// <summary>Saves limits.</summary>
public sealed class SaveClinicianLimitsHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SaveClinicianLimits request, CancellationToken ct)
    {
        var read = request.Form.Read();
        if (!read.IsAccepted)
        {
            return read.Refusals;
        }
        await using var context = await db.EnterAsync(actor, Permission.AssignChildren, ct);
        if (await context.Clinicians.SingleOrDefaultAsync(row => row.Id == request.ClinicianId && row.IsActive, ct) is not { } clinician)
        {
            return [new Refusal("zones", "This clinician no longer works here.")];
        }
        context.Entry(clinician).Property(row => row.RowVersion).OriginalValue = request.RowVersion;
        (clinician.Zones, clinician.MostChildren) = read.Value;
        context.Record("clinician-limits-changed", null, time.GetUtcNow(), new AccessDetail().With("clinician", clinician.Id));
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return [new Refusal("zones", "Somebody else changed this clinician meanwhile. Load the page again, then enter it anew.")];
        }
        return [];
    }
}
