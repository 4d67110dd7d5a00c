using Caseload.Data.Access;
using Caseload.Data.Papers;
using Caseload.Domain.Alerts;
using Caseload.Domain.Assignment;
using Caseload.Domain.Findings;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Alerts;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Digest;
using Caseload.Web.Features.Due;
using Caseload.Web.Features.Family;
using Caseload.Web.Features.Jobs;
using Caseload.Web.Features.Mail;
using Caseload.Web.Features.Matrix;
using Caseload.Web.Features.Numbers;
using Caseload.Web.Features.People;
using Caseload.Web.Features.Programmes;
using Caseload.Web.Features.Record;
using Caseload.Web.Features.Reference;
using Caseload.Web.Features.Report;
using Caseload.Web.Features.Summary;
using Caseload.Web.Features.Team;
using Caseload.Web.Features.VisitPlan;
using Caseload.Web.Features.Visits;
using Caseload.Web.Platform.Families;
using Caseload.Web.Platform.Summaries;

namespace Caseload.Integration.Tests.Access;

/// <summary>
/// The matrix. A new handler needs a row: how to ask, and who may, as one letter for each of <see cref="Who"/> without the last three, whose
/// sign-in is always over. p = let through, d = denied, h = as if it were not there. About a child: three words, for the own clinician's
/// child, the colleague's, and the other programme's.
/// </summary>
internal static class HandlerMatrix
{
    //            administrator, lead, observer | own, covering, reasoning clinician | nobody, other lead
    private static readonly string[] _readChild = ["dppphhdh", "dpphppdh", "dhhhhhdp"];
    private static readonly string[] _writeChild = ["dpdphhdh", "dpdhppdh", "dhdhhhdp"];

    // The other programme's child has no clinician who could go.
    private static readonly string[] _plansVisit = ["dpdphhdh", "dpdhppdh", "dhdhhhdh"];
    private static readonly string[] _destroyChild = ["dpdddddh", "dpdddddh", "dhdddddp"];
    private static readonly string[] _reachChild = ["dddpppdd", "dddpppdd", "dddhhhdd"];

    private static readonly string[] _anyRole = ["ppppppdp"];
    private static readonly string[] _readsChildren = ["dpppppdp"];
    private static readonly string[] _clinicians = ["dddpppdd"];
    private static readonly string[] _ownReach = ["dddhhpdd"];
    private static readonly string[] _leads = ["dpdddddp"];
    private static readonly string[] _logsVisits = ["dpdpppdp"];
    private static readonly string[] _searches = ["dppddddp"];
    private static readonly string[] _reviews = ["dppddddh"];
    private static readonly string[] _verifies = ["pppddddp"];
    private static readonly string[] _administrators = ["pddddddd"];

    internal static readonly IReadOnlyDictionary<string, Row> Rows = new Dictionary<string, Row>
    {
        // Children
        ["ListChildrenHandler"] = new(_readsChildren, (_, _) => new ListChildren(null, null, true, ChildSort.Name, false, 0)),
        ["ListMatrixHandler"] = new(_readsChildren, (_, _) => new ListMatrix(null, null, null, null)),
        ["GetChildHandler"] = new(_readChild, (_, child) => new GetChild(child.Child.Id)),
        ["GetChildFormHandler"] = new(_writeChild, (_, child) => new GetChildForm(child.Child.Id)),
        ["SaveChildHandler"] = new(
            _writeChild,
            (_, child) => new SaveChild(child.Child.Id, false, child.Child.RowVersion, ChildForm.Of(child.Child))
        ),
        ["ChangeConcernHandler"] = new(_writeChild, (_, child) => new ChangeConcern(child.Child.Id, StoreFixture.NewId(), "feeding", false))
        {
            IsUsedUp = true,
        },
        ["ChangeExclusionHandler"] = new(
            _writeChild,
            (_, child) => new ChangeExclusion(child.Child.Id, StoreFixture.NewId(), Exclusion.Reflux, StoreFixture.TodayOn, null)
        )
        {
            IsUsedUp = true,
        },
        ["ListSignsHandler"] = new(_readChild, (_, child) => new ListSigns(child.Child.Id)),
        ["RecordSignHandler"] = new(
            _writeChild,
            (_, child) => new RecordSign(child.Child.Id, StoreFixture.NewId(), UrgentSign.Lethargy, StoreFixture.TodayOn, "")
        )
        {
            IsUsedUp = true,
        },
        ["SettleSignHandler"] = new(_writeChild, (_, child) => new SettleSign(child.Child.Id, child.SignId)) { IsUsedUp = true },
        ["CloseChildHandler"] = new(_writeChild, (_, child) => new CloseChild(child.Child.Id, "moved away")) { HasOpenVisits = false },
        ["ListLooksHandler"] = new(_readChild, (_, child) => new ListLooks(child.Child.Id, 90))
        {
            IsEmpty = answer => ((LookList)answer!).Rows.Count == 0,
        },
        ["OpenByReasonHandler"] = new(
            _reachChild,
            (_, child) => new OpenByReason(StoreFixture.NewId(), child.Child.Code, "Stands in for a colleague today")
        ),
        ["ListOwnReachesHandler"] = new(_clinicians, (_, _) => new ListOwnReaches()),
        ["EndReachHandler"] = new(_ownReach, (world, _) => new EndReach(world.ReachId)),
        ["DestroyChildHandler"] = new(
            _destroyChild,
            (_, child) => new DestroyChild(child.Child.Id, child.Child.Code, DestructionReason.FamilyAsked)
        )
        {
            HasOpenVisits = false,
            AreClosed = true,
        },
        ["GetTombstoneHandler"] = new(_readsChildren, (_, _) => new GetTombstone(StoreFixture.NewId())),

        // Jobs
        ["ListJobsHandler"] = new(_administrators, (_, _) => new ListJobs()),
        ["StartJobHandler"] = new(_administrators, (_, _) => new StartJob("record-check")),

        // Alerts
        ["ListAlertsHandler"] = new(_readsChildren, (_, _) => new ListAlerts()),
        ["CountAlertsHandler"] = new(_readsChildren, (_, _) => new CountAlerts()),
        ["GetAlertHandler"] = new(_readChild, (_, child) => new GetAlert(child.AlertId)),
        ["AnswerAlertsHandler"] = new(
            _writeChild,
            (_, child) =>
                new AnswerAlerts(
                    StoreFixture.NewId(),
                    [new SeenAlert(child.AlertId, child.AlertVersion)],
                    new AlertEntry(AlertAnswer.Acknowledge, null, null, null)
                )
        )
        {
            IsUsedUp = true,
        },

        // Papers
        ["GetSummaryHandler"] = new(_readsChildren, (_, _) => new SummaryRequest()),
        ["ExportSummaryHandler"] = new(_readsChildren, (_, _) => new ExportSummary(new SummaryRequest(), SummaryFormat.Csv)),
        ["GetReportHandler"] = new(_readChild, (_, child) => new GetReport(child.Child.Id)),
        ["ExportReportHandler"] = new(_readChild, (_, child) => new ExportReport(child.Child.Id)),
        ["GetFamilyPageHandler"] = new(_readChild, (_, child) => new GetFamilyPage(child.Child.Id, null)),
        ["KeepFamilyPageHandler"] = new(
            _writeChild,
            (_, child) =>
                new KeepFamilyPage(
                    StoreFixture.NewId(),
                    child.Child.Id,
                    "en",
                    [new FamilyPart("What we saw", "Holds on to a finger.")],
                    "Given Family, 555 0100"
                )
        ),
        ["ExportFamilyPageHandler"] = new(_readChild, (_, child) => new ExportFamilyPage(child.Child.Id, child.LetterId)),

        // Due and visits
        ["ListDueChildrenHandler"] = new(_readsChildren, (_, _) => new ListDueChildren(14, null)),
        ["GetVisitStartHandler"] = new(_writeChild, (_, child) => new GetVisitStart(child.Child.Id, ""))
        {
            IsEmpty = answer => ((VisitStart)answer!).Children.Count == 0,
        },
        ["StartVisitHandler"] = new(
            _writeChild,
            (_, child) => new StartVisit(StoreFixture.NewId(), child.Child.Id, StoreFixture.TodayOn, null)
        )
        {
            HasOpenVisits = false,
        },
        ["GetVisitHandler"] = new(_readChild, (_, child) => new GetVisit(child.FinishedVisitId)),
        ["SaveVisitDraftHandler"] = new(
            _writeChild,
            (_, child) => new SaveVisitDraft(child.OpenVisitId!.Value, AccessWorld.OneResponse(), null)
        ),
        ["FinishVisitHandler"] = new(_writeChild, (_, child) => new FinishVisit(child.OpenVisitId!.Value, AccessWorld.OneResponse(), null)),
        ["CorrectFindingHandler"] = new(
            _writeChild,
            (_, child) =>
                new CorrectFinding(
                    StoreFixture.NewId(),
                    child.FindingId,
                    new CorrectionForm
                    {
                        IsWithdrawal = true,
                        Side = Side.Both,
                        Reason = "Another child's",
                    }
                )
        ),

        // Digests; the one that is opened was made for the own clinician
        ["ListDigestsHandler"] = new(_readsChildren, (_, _) => new ListDigests(null, null)),
        ["GetDigestHandler"] = new(["dppphhdh"], (world, _) => new GetDigest(world.DigestId)),

        // The record of who looked
        ["SearchRecordHandler"] = new(_searches, (_, _) => new SearchRecord(null, "", null, null, null, 0)),
        ["ExamineRecordHandler"] = new(_searches, (_, _) => new ExamineRecord(StoreFixture.TodayOn, StoreFixture.TodayOn)),
        ["SignOffRecordHandler"] = new(_searches, (_, _) => new SignOffRecord(StoreFixture.TodayOn, StoreFixture.TodayOn)),
        ["ListReasonedReachesHandler"] = new(_searches, (_, _) => new ListReasonedReaches()),
        ["ReviewReachHandler"] = new(_reviews, (world, _) => new ReviewReach(world.ReachId)) { IsUsedUp = true },
        ["VerifyRecordHandler"] = new(_verifies, (_, _) => new VerifyRecord(new Progress<VerifyProgress>())),
        ["ListOverdueRecordsHandler"] = new(_leads, (_, _) => new ListOverdueRecords()),

        // People and team
        ["ListPeopleHandler"] = new(_administrators, (_, _) => new ListPeople()),
        ["GetPersonHandler"] = new(_administrators, (world, _) => new GetPerson(world.Of(Who.Nobody).PersonId)),
        ["SavePersonHandler"] = new(
            _administrators,
            (_, _) =>
                new SavePerson(
                    StoreFixture.NewId(),
                    null,
                    new PersonForm
                    {
                        Name = "Rosa Lindqvist",
                        SignInName = "rosa",
                        Roles = [Role.Observer],
                    }
                )
        ),
        ["InvitePersonHandler"] = new(_administrators, (world, _) => new InvitePerson(world.Of(Who.Nobody).PersonId, false)),
        ["DisablePersonHandler"] = new(_administrators, (world, _) => new DisablePerson(world.Of(Who.Nobody).PersonId, true)),
        ["EndSignInsHandler"] = new(_administrators, (world, _) => new EndSignIns(world.Of(Who.Nobody).PersonId, null)),
        ["GetAccessReportHandler"] = new(_administrators, (_, _) => new GetAccessReport()),
        ["SuggestAssignmentsHandler"] = new(
            _leads,
            (_, _) => new SuggestAssignments(AssignmentScope.Waiting, null, false, null, CancellationToken.None)
        ),
        ["AcceptMovesHandler"] = new(
            _leads,
            (world, child) =>
                new AcceptMoves(
                    StoreFixture.NewId(),
                    null,
                    StoreFixture.TodayOn,
                    [new AcceptedMove(child.Child.Id, child.Child.ClinicianId, world.Of(Who.ReasoningClinician).ClinicianId!.Value)]
                )
        ),
        ["GetNumbersHandler"] = new(_searches, (_, _) => new GetNumbers("moro", null)),
        ["ListPlannedVisitsHandler"] = new(_readsChildren, (_, _) => new ListPlannedVisits(null, null)),
        ["ProposeVisitsHandler"] = new(_logsVisits, (world, _) => new ProposeVisits(world.Of(Who.OwnClinician).ClinicianId!.Value)),
        ["SavePlannedVisitHandler"] = new(
            _plansVisit,
            (_, child) =>
                new SavePlannedVisit(
                    StoreFixture.NewId(),
                    child.Child.Id,
                    child.Child.ClinicianId ?? Guid.Empty,
                    StoreFixture.TodayOn.AddDays(3),
                    null
                )
        )
        {
            IsUsedUp = true,
        },
        ["RemovePlannedVisitHandler"] = new(_logsVisits, (_, _) => new RemovePlannedVisit(StoreFixture.NewId())),
        ["GetCalendarFeedHandler"] = new(_anyRole, (_, _) => new GetCalendarFeed()),
        ["KeepCalendarFeedHandler"] = new(_anyRole, (_, _) => new KeepCalendarFeed(true)),
        ["ListHandoversHandler"] = new(_readsChildren, (_, _) => new ListHandovers()),
        ["ReadHandoverHandler"] = new(_logsVisits, (_, _) => new ReadHandover(StoreFixture.NewId())),
        ["ListAssignmentsHandler"] = new(_readsChildren, (_, child) => new ListAssignments(child.Child.Id)),
        ["GetTeamHandler"] = new(_leads, (_, _) => new GetTeam()),
        ["AssignChildrenHandler"] = new(
            _leads,
            (world, child) =>
                new AssignChildren(
                    StoreFixture.NewId(),
                    [new ChosenChild(child.Child.Id, child.Child.ClinicianId)],
                    new AssignForm { ClinicianId = world.Of(Who.ReasoningClinician).ClinicianId, FromOn = StoreFixture.TodayOn }
                )
        ),
        ["SaveClinicianLimitsHandler"] = new(
            _leads,
            (world, _) => new SaveClinicianLimits(world.Of(Who.OwnClinician).ClinicianId!.Value, 0, new LimitsForm { Zones = "North" })
        ),
        ["SaveNeverPairHandler"] = new(
            _leads,
            (world, child) => new SaveNeverPair(child.Child.Id, world.Of(Who.ReasoningClinician).ClinicianId!.Value, "Neighbours")
        ),
        ["SaveWorkloadPolicyHandler"] = new(_leads, (_, _) => new SaveWorkloadPolicy(new WorkloadForm(WorkloadPolicy.Default))),
        ["ListCoversHandler"] = new(_leads, (_, _) => new ListCovers()),
        ["SaveCoverHandler"] = new(
            _leads,
            (world, _) =>
                new SaveCover(
                    StoreFixture.NewId(),
                    new CoverForm
                    {
                        AbsentClinicianId = world.Of(Who.OwnClinician).ClinicianId,
                        CoveringClinicianId = world.Of(Who.ReasoningClinician).ClinicianId,
                        FromOn = StoreFixture.TodayOn,
                        ThroughOn = StoreFixture.TodayOn,
                    }
                )
        ),
        ["EndCoverHandler"] = new(_leads, (world, _) => new EndCover(world.CoverId)),

        // Mail
        ["GetMailHandler"] = new(_administrators, (_, _) => new GetMail()),
        ["SendTestMessageHandler"] = new(_administrators, (_, _) => new SendTestMessage(StoreFixture.NewId(), "rosa@example.org")),
        ["RetryMessagesHandler"] = new(_administrators, (_, _) => new RetryMessages(null)),
        ["GiveUpMessageHandler"] = new(_administrators, (_, _) => new GiveUpMessage(StoreFixture.NewId())),
        ["ListOwnMessagesHandler"] = new(_anyRole, (_, _) => new ListOwnMessages()),
        ["GetOwnMessageHandler"] = new(_anyRole, (_, _) => new GetOwnMessage(StoreFixture.NewId())),
        ["SaveDigestMailHandler"] = new(_anyRole, (_, _) => new SaveDigestMail(false)),

        // Settings and reference
        ["GetProgrammeHandler"] = new(_anyRole, (_, _) => new GetProgramme()),
        ["GetProgrammeBannerHandler"] = new(_anyRole, (_, _) => new GetProgrammeBanner()),
        ["SaveProgrammeHandler"] = new(_administrators, (_, _) => new SaveProgramme(0, "Renamed", "Europe/Dublin")),
        ["SaveAccessPolicyHandler"] = new(_administrators, (_, _) => new SaveAccessPolicy(0, AccessPolicyForm.Of(AccessPolicy.Default))),
        ["SaveAlertPolicyHandler"] = new(_leads, (_, _) => new SaveAlertPolicy(0, AlertPolicy.Default)),
        ["SaveReviewPolicyHandler"] = new(_leads, (_, _) => new SaveReviewPolicy(0, ReviewPolicy.Default)),
        ["FindReferenceSetHandler"] = new(_anyRole, (_, _) => new FindReferenceSet(null)),
        ["ListReferenceVersionsHandler"] = new(_anyRole, (_, _) => new ListReferenceVersions()),
        ["GetReferenceDraftHandler"] = new(_leads, (_, _) => new GetReferenceDraft()),
        ["PreviewReferenceSetHandler"] = new(_leads, (_, _) => new PreviewReferenceSet(ReferenceSets.Default)),
        ["PublishReferenceSetHandler"] = new(
            _leads,
            (_, _) =>
                new PublishReferenceSet(ReferenceSets.Default.Key, "larkfield", "1", "Protocol", new Dictionary<string, ItemRuleFigures>())
        ),
        ["ActivateReferenceSetHandler"] = new(
            _leads,
            (_, _) => new ActivateReferenceSet("other@1", ReferenceSets.Default.Key, ActivationReason.ProtocolChanged)
        ),
    };

    /// <param name="Letters">What is expected; see above.</param>
    /// <param name="Request">How to ask.</param>
    internal sealed record Row(string[] Letters, Func<AccessWorld, ChildCase, object> Request)
    {
        /// <summary>Whether every child has a visit under way.</summary>
        internal bool HasOpenVisits { get; init; } = true;

        /// <summary>Whether the children's cases are closed.</summary>
        internal bool AreClosed { get; init; }

        /// <summary>Whether it can be done once only, so that everybody tries it afresh.</summary>
        internal bool IsUsedUp { get; init; }

        /// <summary>Whether a list that does not say "hidden" says it by being empty.</summary>
        internal Func<object?, bool>? IsEmpty { get; init; }

        internal bool IsAboutAChild => Letters.Length == 3;

        /// <summary>Whether an answer of any kind means that the person was let through: refusals are then about what was entered.</summary>
        internal bool IsAboutTheDoorOnly => !Letters.Any(letters => letters.Contains('h', StringComparison.Ordinal));

        internal Outcome Expected(Who who, int child) =>
            who >= Who.Disabled
                ? Outcome.Ended
                : Letters[child][(int)who] switch
                {
                    'p' => Outcome.Pass,
                    'd' => Outcome.Deny,
                    _ => Outcome.Hidden,
                };
    }
}
