using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Data.Visits;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;

namespace Caseload.DemoSeed;

/// <summary>Lives through a child's time with the programme, visit by visit, asking the planner what to check and the course what is seen.</summary>
internal sealed class DemoHistory
{
    private const double DaysPerMonth = 365.25 / 12;
    private const int LapsedDays = 44;
    private const int ClosedDays = 25;
    private const int GivenBackDays = 9;

    private readonly DemoChild _plan;
    private readonly Interpreter _interpreter;
    private readonly DateOnly _todayOn;
    private readonly TimeZoneInfo _zone;
    private readonly IReadOnlyList<(Guid Id, string Name)> _clinicians;
    private readonly SeededSource _chance;
    private readonly DateOnly _anchorOn;
    private readonly Dictionary<string, TrueCourse> _courses;
    private readonly List<Finding> _findings = [];
    private readonly int _number;

    internal DemoHistory(
        int number,
        DemoChild plan,
        Guid programmeId,
        Interpreter interpreter,
        DateOnly todayOn,
        TimeZoneInfo zone,
        IReadOnlyList<(Guid Id, string Name)> clinicians
    )
    {
        _number = number;
        _plan = plan;
        _interpreter = interpreter;
        _todayOn = todayOn;
        _zone = zone;
        _clinicians = clinicians;
        _chance = new SeededSource(20261125 + number);

        var isCorrected = plan.GestationDays < interpreter.Policy.CorrectBelowDays;
        var daysEarly = isCorrected ? GestationalAge.TermDays - plan.GestationDays!.Value : 0;
        var agedFromOn = todayOn.AddDays(-(int)Math.Round(plan.AgeMonths * DaysPerMonth));
        _anchorOn = plan.AgeMonths < interpreter.Policy.CorrectionMonths ? agedFromOn : agedFromOn.AddDays(daysEarly);
        var bornOn = _anchorOn.AddDays(-daysEarly);
        _courses = interpreter.Set.Items.ToDictionary(
            item => item.Id,
            item => TrueCourse.Draw(item, plan.Twists.GetValueOrDefault(item.Id), plan.AgeMonths, _chance)
        );

        var enrolledOn = WorkingDay(ChooseEnrolment(bornOn));
        var addedAt = AtHour(enrolledOn, 8);
        var (given, family) = DemoPeople.NameOf(number);
        Child = new Child
        {
            ProgrammeId = programmeId,
            Id = _chance.IdAt(addedAt),
            Code = ChildCodes.Format(number + 1),
            GivenName = given,
            FamilyName = family,
            BornOn = bornOn,
            GestationDays = plan.GestationDays,
            EnrolledOn = enrolledOn,
            ClinicianId = clinicians[number % clinicians.Count].Id,
            ReferredOn = Latest(bornOn, enrolledOn.AddDays(-(7 + (number % 5 * 6)))),
            Zone = DemoPeople.Zones[number * 7 % DemoPeople.Zones.Length],
            Language = DemoPeople.LanguageOf(number),
            NeededDiscipline = number % 9 == 4 ? Discipline.PhysicalTherapy : null,
            VisitsInFourWeeks = number % 6 == 1 ? 4 : null,
            Note = plan.Note,
            CreatedAt = addedAt,
            UpdatedAt = addedAt,
        };
        Record("child-added", addedAt, new AccessDetail());
        AddConditions();
        LiveThrough();
        AddAssignment();
    }

    /// <summary>The child.</summary>
    internal Child Child { get; }

    /// <summary>Conditions.</summary>
    internal List<RecordedExclusion> Exclusions { get; } = [];

    /// <summary>Concerns.</summary>
    internal List<RecordedConcern> Concerns { get; } = [];

    /// <summary>The one assignment.</summary>
    internal Assignment? Assignment { get; private set; }

    /// <summary>Visits.</summary>
    internal List<Visit> Visits { get; } = [];

    /// <summary>Findings as recorded.</summary>
    internal List<RecordedFinding> Recorded { get; } = [];

    /// <summary>Findings as the rules know them.</summary>
    internal IReadOnlyCollection<Finding> Findings => _findings;

    /// <summary>What was done.</summary>
    internal List<AccessEntry> Entries { get; } = [];

    private DateOnly LastDayOn =>
        _plan.Attendance switch
        {
            Attendance.Lapsed => _todayOn.AddDays(-LapsedDays),
            Attendance.Closed => _todayOn.AddDays(-ClosedDays),
            _ => _todayOn.AddDays(-1),
        };

    private DateOnly ChooseEnrolment(DateOnly bornOn)
    {
        if (_plan.Attendance == Attendance.JustEnrolled)
        {
            return _todayOn.AddDays(-8);
        }
        // Children born early come after they have gone home; most come within weeks, some when somebody notices something.
        var homeOn = bornOn > _anchorOn.AddDays(-21) ? bornOn : _anchorOn.AddDays(-21);
        var waits = _plan.AgeMonths > 18 && _chance.Happens(0.4) ? _chance.Between(90, 240) : _chance.Between(6, 24);
        var enrolledOn = homeOn.AddDays(waits);
        var latestOn = _todayOn.AddDays(-5);
        return enrolledOn < latestOn ? enrolledOn
            : latestOn < bornOn ? bornOn
            : latestOn;
    }

    private static DateOnly Latest(DateOnly one, DateOnly other) => one > other ? one : other;

    /// <summary>Some wait for a clinician: those just come to the programme, and the last few, whose clinician now works fewer days.</summary>
    private void AddAssignment()
    {
        var waits = _plan.Attendance == Attendance.JustEnrolled || (_plan.IsGivenBack && Child.ClosedOn is null);
        var throughOn = Child.ClosedOn ?? (waits ? Latest(Child.EnrolledOn, _todayOn.AddDays(-GivenBackDays)) : null);
        if (_plan.Attendance != Attendance.JustEnrolled)
        {
            Assignment = new Assignment
            {
                ProgrammeId = Child.ProgrammeId,
                Id = _chance.IdAt(Child.CreatedAt),
                ChildId = Child.Id,
                ClinicianId = Child.ClinicianId!.Value,
                FromOn = Child.EnrolledOn,
                ThroughOn = throughOn,
                RecordedAt = Child.CreatedAt,
                Who = DemoPeople.LeadName,
                EndRecordedAt = throughOn is { } on ? AtHour(on, 16) : null,
            };
        }
        if (waits)
        {
            Child.ClinicianId = null;
        }
    }

    private void AddConditions()
    {
        foreach (var (exclusion, fromDay, throughDay, note) in _plan.Exclusions)
        {
            var fromOn = Child.BornOn.AddDays(fromDay);
            Exclusions.Add(
                new RecordedExclusion
                {
                    ProgrammeId = Child.ProgrammeId,
                    Id = _chance.IdAt(Child.CreatedAt),
                    ChildId = Child.Id,
                    Exclusion = exclusion,
                    FromOn = fromOn,
                    ThroughOn = throughDay is { } through ? Child.BornOn.AddDays(through) : null,
                    Note = note,
                }
            );
        }
        foreach (var (concern, isResolved) in _plan.Concerns)
        {
            // A concern that stands was recorded lately; one that is resolved has its story behind it.
            var recordedOn = isResolved ? Child.EnrolledOn : Later(Child.EnrolledOn, _todayOn.AddDays(-75));
            Concerns.Add(
                new RecordedConcern
                {
                    ProgrammeId = Child.ProgrammeId,
                    Id = _chance.IdAt(Child.CreatedAt),
                    ChildId = Child.Id,
                    Concern = concern,
                    RecordedOn = recordedOn,
                    ResolvedOn = isResolved ? Earlier(recordedOn.AddDays(90), LastDayOn) : null,
                }
            );
        }
    }

    private void LiveThrough()
    {
        var visitOn = WorkingDay(Child.EnrolledOn.AddDays(_chance.Between(1, 3)));
        while (visitOn <= LastDayOn)
        {
            var hasMore = MakeVisit(visitOn);
            visitOn = NextVisit(visitOn, hasMore);
        }
        if (_plan.Attendance == Attendance.Closed)
        {
            Child.ClosedOn = WorkingDay(LastDayOn.AddDays(1));
            Child.ClosingReason = _chance.OneOf(["Goals met", "Moved away", "Transferred to the school programme"]);
            Child.UpdatedAt = AtHour(Child.ClosedOn.Value, 16);
            Record("child-closed", Child.UpdatedAt, new AccessDetail().With("on", Child.ClosedOn.Value));
        }
    }

    /// <returns>Whether more was due than one visit should ask for.</returns>
    private bool MakeVisit(DateOnly visitOn)
    {
        var clinician = _chance.Happens(0.85) ? _clinicians[_number % _clinicians.Count] : _chance.OneOf(_clinicians);
        var startedAt = AtHour(visitOn, _chance.Between(8, 15)).AddMinutes(5 * _chance.Between(0, 11));
        var finishedAt = startedAt.AddMinutes(_chance.Between(25, 55));
        var results = _interpreter.Interpret(Child.ToFacts(), _findings, visitOn);
        var plan = VisitPlanner.Plan(
            results,
            _findings,
            [.. Exclusions.Select(row => row.ToExclusion())],
            [
                .. Concerns
                    .Where(row => row.RecordedOn <= visitOn && (row.ResolvedOn is null || visitOn < row.ResolvedOn))
                    .Select(row => _interpreter.Set.FindConcern(row.Concern)!),
            ],
            visitOn,
            _interpreter.Policy
        );
        var visit = new Visit
        {
            ProgrammeId = Child.ProgrammeId,
            Id = _chance.IdAt(startedAt),
            ChildId = Child.Id,
            ClinicianId = clinician.Id,
            VisitedOn = visitOn,
            StartedAt = startedAt,
            FinishedAt = finishedAt,
            Place = _chance.OneOf(["Home", "Home", "Home", "Clinic", "Childcare"]),
            Note = plan.Planned.Count == 0 ? "Nothing due; play and parent coaching." : null,
        };
        Visits.Add(visit);

        var looked = plan.Planned.Select(planned => planned.Item).ToList();
        // What comes back or is lost is met by chance: at play, without a check being due.
        looked.AddRange(
            _courses
                .Values.Where(course => course.Twist is Twist.ComesBack or Twist.IsLost && MonthsOn(visitOn) >= course.ReturnsAt)
                .Select(course => course.Item)
                .Except(looked)
        );
        foreach (var item in looked)
        {
            Look(item, visit, clinician.Id);
        }
        Record("visit-finished", finishedAt, new AccessDetail().With("visit", visit.Id).With("findings", looked.Count), clinician);
        return plan.LeftOut.Any(left => left.Because == LeftOutBecause.HandlingBudget);
    }

    private void Look(ReferenceItem item, Visit visit, Guid clinicianId)
    {
        if (_chance.Happens(0.02))
        {
            var reason = _chance.OneOf([NotTestedReason.Crying, NotTestedReason.Asleep, NotTestedReason.JustFed, NotTestedReason.Illness]);
            Keep(new Finding(Guid.Empty, item.Id, visit.VisitedOn, Side.Both, null, null, reason), visit, clinicianId);
            return;
        }
        var (left, right) = _courses[item.Id].At(MonthsOn(visit.VisitedOn), _chance);
        var state =
            _chance.Happens(0.02) ? BehaviouralState.Crying
            : _chance.Happens(0.75) ? item.States.Best[0]
            : _chance.OneOf([.. item.States.Best, .. item.States.Usable]);
        var variant = item.Variants.Count > 0 && _chance.Happens(0.3) ? _chance.OneOf(item.Variants) : null;
        if (left != right && item.Sided != Sidedness.None)
        {
            Keep(new Finding(Guid.Empty, item.Id, visit.VisitedOn, Side.Left, left, state) { Variant = variant }, visit, clinicianId);
            Keep(new Finding(Guid.Empty, item.Id, visit.VisitedOn, Side.Right, right, state) { Variant = variant }, visit, clinicianId);
            return;
        }
        var finding = new Finding(Guid.Empty, item.Id, visit.VisitedOn, Side.Both, left, state) { Variant = variant };
        if (_number % 20 == 19 && Recorded.Count is 2 or 5)
        {
            Mistype(finding, item, visit, clinicianId);
            return;
        }
        Keep(finding, visit, clinicianId);
    }

    /// <summary>The wrong word first; then the correction, or the finding taken back and entered again.</summary>
    private void Mistype(Finding finding, ReferenceItem item, Visit visit, Guid clinicianId)
    {
        var wrong = Keep(finding with { Response = item.Responses.First(response => response != finding.Response) }, visit, clinicianId);
        if (Recorded.Count < 5)
        {
            Keep(finding with { Corrects = wrong.Id, CorrectionReason = "Tapped the wrong button." }, visit, clinicianId, minutesLater: 12);
            return;
        }
        Keep(
            new Finding(Guid.Empty, item.Id, visit.VisitedOn, Side.Both, null, null)
            {
                Corrects = wrong.Id,
                CorrectionReason = "Belongs to another child's visit.",
                IsWithdrawal = true,
            },
            visit,
            clinicianId,
            minutesLater: 20
        );
    }

    private Finding Keep(Finding finding, Visit visit, Guid clinicianId, int minutesLater = 0)
    {
        var recordedAt = visit.FinishedAt!.Value.AddMinutes(minutesLater);
        var kept = Finding.Check(finding with { Id = _chance.IdAt(recordedAt) }, _interpreter.Set, Child.BornOn, visit.VisitedOn).Value;
        _findings.Add(kept);
        Recorded.Add(RecordedFinding.From(kept, visit, recordedAt, clinicianId, _interpreter.Set.Key));
        return kept;
    }

    /// <summary>A week on when not everything fitted; else shortly before the next check runs out, and never later than seven weeks.</summary>
    private DateOnly NextVisit(DateOnly visitOn, bool hasMore)
    {
        if (hasMore)
        {
            return WorkingDay(visitOn.AddDays(7));
        }
        var holding = Exclusions.Where(row => row.ToExclusion().HoldsOn(visitOn)).Select(row => row.Exclusion).ToHashSet();
        var results = _interpreter.Interpret(Child.ToFacts(), _findings, visitOn);
        var soonestThrough = results
            .Where(result => !result.Item.ExcludedBy.Any(excluded => holding.Contains(excluded.Exclusion)))
            .Select(result => result.NextCheck)
            .OfType<PlannedCheck>()
            .Where(check => check.Span.Through > visitOn)
            .Select(check => check.Span.Through)
            .Append(visitOn.AddDays(49))
            .Min();
        var wishedOn = soonestThrough.AddDays(-_chance.Between(3, 6));
        return WorkingDay(Later(wishedOn, visitOn.AddDays(7)));
    }

    private void Record(string what, DateTimeOffset at, AccessDetail detail, (Guid Id, string Name)? clinician = null)
    {
        var (id, name) = clinician ?? _clinicians[_number % _clinicians.Count];
        Entries.Add(
            new AccessEntry
            {
                ProgrammeId = Child.ProgrammeId,
                Id = _chance.IdAt(at),
                ChildId = Child.Id,
                At = at,
                Who = name,
                PersonId = id,
                What = what,
                Why = "own-caseload",
                Detail = detail.ToString(),
            }
        );
    }

    private double MonthsOn(DateOnly on) => (on.DayNumber - _anchorOn.DayNumber) / DaysPerMonth;

    private DateTimeOffset AtHour(DateOnly on, int hour)
    {
        var local = on.ToDateTime(new TimeOnly(hour, 0));
        return new DateTimeOffset(local, _zone.GetUtcOffset(local)).ToUniversalTime();
    }

    private static DateOnly WorkingDay(DateOnly on) =>
        on.DayOfWeek switch
        {
            DayOfWeek.Saturday => on.AddDays(2),
            DayOfWeek.Sunday => on.AddDays(1),
            _ => on,
        };

    private static DateOnly Later(DateOnly one, DateOnly other) => one > other ? one : other;

    private static DateOnly Earlier(DateOnly one, DateOnly other) => one < other ? one : other;
}
