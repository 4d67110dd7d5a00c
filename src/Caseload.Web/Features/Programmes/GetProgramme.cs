using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Policy;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks for the programme's settings.</summary>
public sealed record GetProgramme;

/// <summary>The programme's settings.</summary>
/// <param name="Name">Its name.</param>
/// <param name="TimeZoneId">Its IANA time zone.</param>
/// <param name="Policy">The numbers it set for itself.</param>
/// <param name="RowVersion">Tells whether somebody else saved meanwhile.</param>
/// <param name="Alerts">Its numbers for alerts, the digest and mail, as a form.</param>
/// <param name="Access">Its rules for signing in and keeping records, as a form.</param>
/// <param name="MayChangeSettings">Whether the person may change name, time zone and those rules.</param>
/// <param name="MayChangePolicy">Whether the person may change the numbers.</param>
public sealed record ProgrammeSettings(
    string Name,
    string TimeZoneId,
    ReviewPolicy Policy,
    uint RowVersion,
    AlertPolicyForm Alerts,
    AccessPolicyForm Access,
    bool MayChangeSettings,
    bool MayChangePolicy
);

/// <summary>Gets the programme's settings.</summary>
public sealed class GetProgrammeHandler(CaseloadDb db)
{
    /// <summary>The settings.</summary>
    public async Task<ProgrammeSettings> HandleAsync(Actor actor, GetProgramme request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadSettings, ct);
        var programme = await context.Programmes.AsNoTracking().SingleAsync(ct);
        return new ProgrammeSettings(
            programme.Name,
            programme.TimeZoneId,
            programme.Policy,
            programme.RowVersion,
            AlertPolicyForm.Of(programme.AlertPolicy),
            AccessPolicyForm.Of(programme.AccessPolicy),
            context.May(Permission.ChangeSettings),
            context.May(Permission.ChangeReviewPolicy)
        );
    }
}
