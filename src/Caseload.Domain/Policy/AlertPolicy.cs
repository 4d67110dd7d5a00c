using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Policy;

/// <summary>How a child is called in mail.</summary>
public enum MailNaming
{
    /// <summary>By the child's code only.</summary>
    Code,

    /// <summary>By the code and the initials.</summary>
    CodeAndInitials,
}

/// <summary>The programme's numbers for alerts, the digest and mail. Every default is our assumption, without a source.</summary>
public sealed record AlertPolicy
{
    /// <summary>The defaults.</summary>
    public static AlertPolicy Default { get; } = new();

    /// <summary>Weeks without a visit after which a child counts as not visited.</summary>
    public int NotVisitedWeeks { get; init; } = 8;

    /// <summary>Hours within which a same-day alert is acknowledged before the team lead is told.</summary>
    public int SameDayHours { get; init; } = 4;

    /// <summary>Days within which an alert that asks for action is acknowledged before the team lead is told.</summary>
    public int ActDays { get; init; } = 2;

    /// <summary>Days within which an advisory alert is acknowledged before the team lead is told.</summary>
    public int AdvisoryDays { get; init; } = 7;

    /// <summary>Days within which an alert to watch is acknowledged before the team lead is told.</summary>
    public int WatchDays { get; init; } = 14;

    /// <summary>The weekday of the digest.</summary>
    public DayOfWeek DigestDay { get; init; } = DayOfWeek.Monday;

    /// <summary>The hour of the digest in the programme's zone, 0 to 23.</summary>
    public int DigestHour { get; init; } = 7;

    /// <summary>How a child is called in mail; birth dates and names never are.</summary>
    public MailNaming MailNaming { get; init; } = MailNaming.Code;

    /// <summary>How long an alert may stay unanswered before the team lead is told.</summary>
    public TimeSpan AnswerWithin(Concern severity) =>
        severity switch
        {
            Concern.SameDay => TimeSpan.FromHours(SameDayHours),
            Concern.Act => TimeSpan.FromDays(ActDays),
            Concern.Advisory => TimeSpan.FromDays(AdvisoryDays),
            Concern.Watch => TimeSpan.FromDays(WatchDays),
            _ => throw new ArgumentOutOfRangeException(nameof(severity)),
        };

    /// <summary>Checks that the numbers can work; refusals name the property.</summary>
    public Checked<AlertPolicy> Check()
    {
        var refusals = new List<Refusal>();
        Range(NotVisitedWeeks, 1, 52, nameof(NotVisitedWeeks), "weeks");
        Range(SameDayHours, 1, 24, nameof(SameDayHours), "hours");
        Range(ActDays, 1, 14, nameof(ActDays), "days");
        Range(AdvisoryDays, 1, 60, nameof(AdvisoryDays), "days");
        Range(WatchDays, 1, 90, nameof(WatchDays), "days");
        if (DigestHour is < 0 or > 23)
        {
            refusals.Add(new Refusal(nameof(DigestHour), "Enter an hour from 0 to 23."));
        }
        return refusals.Count == 0 ? Checked.Accept(this) : Checked.Refuse<AlertPolicy>(refusals);

        void Range(int value, int least, int most, string field, string unit)
        {
            if (value < least || value > most)
            {
                refusals.Add(new Refusal(field, $"Enter a number of {unit} from {least} to {most}."));
            }
        }
    }
}
