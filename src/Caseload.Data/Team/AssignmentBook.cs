using System.Globalization;
using Caseload.Data.Children;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Team;

/// <summary>A child to be given to a clinician, or to nobody.</summary>
/// <param name="Id">The id of the new assignment, made by whoever asks.</param>
/// <param name="ClinicianId">Who is responsible from then on; null for nobody.</param>
/// <param name="FromOn">First day, today or later, or a day since the present assignment began.</param>
/// <param name="Handover">What the next clinician should know; null for nothing.</param>
public sealed record AssignmentWish(Guid Id, Guid? ClinicianId, DateOnly FromOn, string? Handover);

/// <summary>Keeps a child's clinician and the history of assignments in step. Whoever changes <see cref="Child.ClinicianId"/> goes through here.</summary>
/// <remarks>Nothing is saved: the caller's save does it, after it has had the statuses rewritten.</remarks>
public static class AssignmentBook
{
    /// <summary>The field that refusals of a first day name.</summary>
    public const string FromField = "from";

    /// <summary>Gives a child to somebody, from a day on; a later day takes effect with that day's sweep.</summary>
    /// <param name="context">The unit of work; its instant is when the assignment is recorded.</param>
    /// <param name="child">The child, followed by the unit of work, saved or not.</param>
    /// <param name="wish">What is wanted.</param>
    /// <param name="todayOn">Today in the programme's zone.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>Why it cannot be; null when it was put down.</returns>
    public static async Task<Refusal?> AssignAsync(
        CaseloadDbContext context,
        Child child,
        AssignmentWish wish,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        var spans = await context
            .Assignments.Where(row => row.ChildId == child.Id && (row.ThroughOn == null || row.ThroughOn >= wish.FromOn))
            .OrderBy(row => row.FromOn)
            .ToListAsync(ct);
        var present = spans.Find(row => row.FromOn <= todayOn);
        if (wish.FromOn <= todayOn && present is not null && wish.FromOn < present.FromOn)
        {
            return new Refusal(
                FromField,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"The child has been with the present clinician since {present.FromOn:d MMM yyyy}. Choose that day or a later one."
                )
            );
        }
        if (wish.FromOn < child.EnrolledOn)
        {
            return new Refusal(
                FromField,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"The programme took the child on on {child.EnrolledOn:d MMM yyyy}. Choose that day or a later one."
                )
            );
        }

        // What was planned for later, and what began the very day that the new one begins, never held.
        foreach (var span in spans.Where(row => row.FromOn > todayOn || row.FromOn >= wish.FromOn))
        {
            context.Remove(span);
        }
        var isLater = wish.FromOn > todayOn;
        var holds = present is not null && present.FromOn < wish.FromOn;
        if (holds)
        {
            present!.ThroughOn = null;
            present.EndRecordedAt = null;
            present.EffectOn = null;
        }
        if (holds && present!.ClinicianId == wish.ClinicianId)
        {
            return null;
        }
        if (holds)
        {
            present!.ThroughOn = wish.FromOn.AddDays(-1);
            present.EndRecordedAt = context.At;
            present.EffectOn = isLater && wish.ClinicianId is null ? wish.FromOn : null;
        }
        if (wish.ClinicianId is { } clinicianId)
        {
            context.Add(
                new Assignment
                {
                    ProgrammeId = context.ProgrammeId,
                    Id = wish.Id,
                    ChildId = child.Id,
                    ClinicianId = clinicianId,
                    FromOn = wish.FromOn,
                    EffectOn = isLater ? wish.FromOn : null,
                    Handover = string.IsNullOrWhiteSpace(wish.Handover) ? null : wish.Handover.Trim(),
                    RecordedAt = context.At,
                    Who = context.Who,
                }
            );
        }
        if (!isLater)
        {
            child.ClinicianId = wish.ClinicianId;
        }
        return null;
    }

    /// <summary>Ends what holds and takes out what was planned, because the case is closed.</summary>
    public static async Task CloseAsync(CaseloadDbContext context, Child child, DateOnly closedOn, CancellationToken ct)
    {
        foreach (var span in await context.Assignments.Where(row => row.ChildId == child.Id && row.ThroughOn == null).ToListAsync(ct))
        {
            if (span.FromOn > closedOn)
            {
                context.Remove(span);
            }
            else
            {
                span.ThroughOn = closedOn;
                span.EndRecordedAt = context.At;
                span.EffectOn = null;
            }
        }
    }
}
