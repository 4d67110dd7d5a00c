using System.Globalization;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Team;

/// <summary>A child to be given to a clinician, or to nobody.</summary>
/// <param name="Id">The id of the new assignment, made by whoever asks.</param>
/// <param name="ClinicianId">Who is responsible from then on; null for nobody.</param>
/// <param name="FromOn">First day: at most a year ahead, not before the child was taken on, and after the present assignment began.</param>
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
        var spans = await context.Assignments.Where(row => row.ChildId == child.Id).OrderBy(row => row.FromOn).ToListAsync(ct);
        var last = spans.FindLast(row => row.FromOn <= todayOn);
        if (Refuse(child, wish, last, todayOn) is { } refusal)
        {
            return refusal;
        }

        // What was planned for later never held, nor, for a whole day, what began today and gives way today.
        foreach (var span in spans.Where(row => row.FromOn > todayOn || row.FromOn == wish.FromOn))
        {
            context.Remove(span);
        }
        var isLater = wish.FromOn > todayOn;
        var present = last?.ThroughOn < todayOn ? null : last;
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

    /// <summary>Gives a child to somebody as <see cref="AssignAsync"/> does, has the statuses follow and writes it into the access record.</summary>
    /// <param name="context">The unit of work.</param>
    /// <param name="projection">Keeps the statuses and alerts.</param>
    /// <param name="child">The child, stored before.</param>
    /// <param name="wish">What is wanted.</param>
    /// <param name="todayOn">Today in the programme's zone.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>Why it cannot be, with the child's code; null when it was put down.</returns>
    public static async Task<Refusal?> GiveAsync(
        CaseloadDbContext context,
        StatusProjection projection,
        Child child,
        AssignmentWish wish,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        if (await AssignAsync(context, child, wish, todayOn, ct) is { } refusal)
        {
            return refusal with { Message = $"{child.Code}: {refusal.Message}" };
        }
        await projection.RewriteAsync(context, child.Id, todayOn, ct);
        context.Record(
            "child-assigned",
            child.Id,
            context.At,
            new AccessDetail().With("clinician", wish.ClinicianId).With("from", wish.FromOn)
        );
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

    /// <summary>The history stays as it was: a new assignment begins after the last one began, and after it ended.</summary>
    private static Refusal? Refuse(Child child, AssignmentWish wish, Assignment? last, DateOnly todayOn)
    {
        if (wish.FromOn > todayOn.AddYears(1))
        {
            return new Refusal(FromField, "Plan a year ahead at most.");
        }
        if (wish.FromOn < child.EnrolledOn)
        {
            return Later($"The programme took the child on on {child.EnrolledOn:d MMM yyyy}. Choose that day or a later one.");
        }
        if (last?.ThroughOn < todayOn && wish.FromOn <= last.ThroughOn)
        {
            return Later($"The last clinician had the child through {last.ThroughOn:d MMM yyyy}. Choose a later day.");
        }
        return wish.FromOn < todayOn && wish.FromOn <= last?.FromOn
            ? Later($"The child has been with the present clinician since {last.FromOn:d MMM yyyy}. Choose a later day.")
            : null;

        static Refusal Later(FormattableString message) => new(FromField, message.ToString(CultureInfo.InvariantCulture));
    }
}
