using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Data.Digests;
using Caseload.Data.Papers;
using Caseload.Data.People;
using Caseload.Data.Team;
using Caseload.Data.Visits;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Hardening;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Caseload.Web.Platform.Digests;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.Jobs;
using Caseload.Web.Platform.Mail;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Caseload.Integration.Tests.Access;

/// <summary>Who tries. The order is that of the columns in the matrices.</summary>
public enum Who
{
    Administrator,
    TeamLead,
    Observer,

    /// <summary>The clinician whose child the first one is.</summary>
    OwnClinician,

    /// <summary>Covers today for the second child's clinician.</summary>
    CoveringClinician,

    /// <summary>Stated a reason for the second child an hour ago.</summary>
    ReasoningClinician,

    /// <summary>Signed in, and without any role.</summary>
    Nobody,

    /// <summary>Leads the other programme.</summary>
    OtherLead,

    /// <summary>A team lead who was disabled after signing in.</summary>
    Disabled,

    /// <summary>A team lead who signed out.</summary>
    SignedOut,

    /// <summary>A team lead who did nothing for longer than the idle time.</summary>
    Idle,
}

/// <summary>One child of each kind, with what hangs on it.</summary>
/// <param name="Child">The child.</param>
/// <param name="FinishedVisitId">A finished visit.</param>
/// <param name="FindingId">Its finding.</param>
/// <param name="OpenVisitId">An open visit, when the child has one.</param>
/// <param name="AlertId">An open alert.</param>
/// <param name="SignId">A standing sign.</param>
internal sealed record ChildCase(
    Child Child,
    Guid FinishedVisitId,
    Guid FindingId,
    Guid? OpenVisitId,
    Guid AlertId,
    Guid SignId,
    Guid LetterId
)
{
    /// <summary>The version of the alert that everybody saw.</summary>
    internal uint AlertVersion { get; init; }
}

/// <summary>Two programmes, everybody who might try, and a child of the own caseload, of a colleague's, and of the other programme.</summary>
internal sealed class AccessWorld(MigratedPostgres postgres) : IAsyncDisposable
{
    private readonly Dictionary<Who, Actor> _actors = [];
    private ServiceProvider? _services;

    internal StoreFixture Store { get; } = new(postgres);

    /// <summary>The own clinician's child, the colleague's, and the other programme's, in this order.</summary>
    internal ChildCase[] Children { get; private set; } = [];

    internal Guid ReachId { get; private set; }

    internal Guid CoverId { get; private set; }

    internal Guid DigestId { get; private set; }

    internal IServiceProvider Services => _services!;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    internal Actor Of(Who who) => _actors[who];

    internal static async Task<AccessWorld> MakeAsync(MigratedPostgres postgres, bool hasOpenVisits = true, bool areClosed = false)
    {
        var world = new AccessWorld(postgres);
        await world.Store.InitializeAsync();
        await world.FillAsync(hasOpenVisits, areClosed);
        var services = new ServiceCollection().AddLogging();
        services.AddSingleton(world.Store.Db);
        services.AddSingleton(world.Store.Library);
        services.AddSingleton(world.Store.Statuses);
        services.AddSingleton<TimeProvider>(world.Store.Time);
        services.AddSingleton<SignInSwitchboard>();
        services.AddSingleton<ChangeNotifier>();
        services.AddSingleton<IPasswordHasher<Person>, PasswordHasher<Person>>();
        services.AddSingleton<IDataProtectionProvider>(new EphemeralDataProtectionProvider());
        services.AddSingleton(HostStart.Parse([]));
        var address = PublicAddress.Find("http://127.0.0.1:5080", HardenedSite.Settings());
        services.AddSingleton(address);
        services.AddMail(MailSettings.Read(HardenedSite.Settings(), address), Path.GetTempPath());
        services.AddSingleton<SignInKeeper>();
        services.AddSingleton<SignInDoor>();
        services.AddSingleton<FailureLog>();
        services.AddSingleton<AlertClock>();
        services.AddSingleton<AssignmentClock>();
        services.AddJobClasses();
        WebHost.AddHandlers(services);
        world._services = services.BuildServiceProvider();
        return world;
    }

    /// <summary>Everything that is stored, except the record of who tried, as one hash.</summary>
    internal async Task<string> FingerprintAsync() =>
        (string)
            (
                await Store.AskOwnerAsync(
                    """
                    select md5(string_agg(part, '|')) from (
                        select (select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from children as row) as part
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from visits as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from findings as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from item_statuses as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from visit_drafts as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from child_exclusions as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from child_concerns as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from child_signs as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from alerts as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from alert_steps as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from child_tombstones as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from people as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from outgoing_messages as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from clinicians as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from invitations as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from sign_ins as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from covers as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from assignments as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from never_pairs as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from planned_visits as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from family_letters as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from summary_exports as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from calendar_feeds as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from reasoned_reaches as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from job_runs as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from programmes as row
                        union all select md5(coalesce(string_agg(row::text, ',' order by row::text), '')) from reference_set_versions as row
                    ) as parts
                    """
                )
            )!;

    public async ValueTask DisposeAsync()
    {
        if (_services is not null)
        {
            await _services.DisposeAsync();
        }
        await Store.DisposeAsync();
    }

    private async Task FillAsync(bool hasOpenVisits, bool areClosed)
    {
        var a = Store.ProgrammeA;
        _actors[Who.Administrator] = await Store.AddPersonAsync(a, [Role.Administrator], "Ada Minister");
        _actors[Who.TeamLead] = await Store.AddPersonAsync(a, [Role.TeamLead], "Lena Leader");
        _actors[Who.Observer] = await Store.AddPersonAsync(a, [Role.Observer], "Odo Server");
        _actors[Who.OwnClinician] = await Store.AddPersonAsync(a, [Role.Clinician], "Own Clinician");
        _actors[Who.CoveringClinician] = await Store.AddPersonAsync(a, [Role.Clinician], "Cover Clinician");
        _actors[Who.ReasoningClinician] = await Store.AddPersonAsync(a, [Role.Clinician], "Reason Clinician");
        _actors[Who.Nobody] = await Store.AddPersonAsync(a, [], "No Body");
        _actors[Who.OtherLead] = await Store.AddPersonAsync(Store.ProgrammeB, [Role.TeamLead], "Other Leader");
        _actors[Who.Disabled] = await Store.AddPersonAsync(a, [Role.TeamLead], "Dis Abled");
        _actors[Who.SignedOut] = await Store.AddPersonAsync(a, [Role.TeamLead], "Signed Out");
        _actors[Who.Idle] = await Store.AddPersonAsync(a, [Role.TeamLead], "I Dle");
        var colleague = await Store.AddPersonAsync(a, [Role.Clinician], "Away Clinician");
        await using (var context = Store.ContextA())
        {
            Children =
            [
                await AddAsync(context, _actors[Who.OwnClinician].PersonId, hasOpenVisits, areClosed),
                await AddAsync(context, colleague.PersonId, hasOpenVisits, areClosed),
            ];
            await context.SaveChangesAsync(Ct);
            var cover = new Cover
            {
                ProgrammeId = a,
                Id = StoreFixture.NewId(),
                AbsentClinicianId = colleague.PersonId,
                CoveringClinicianId = _actors[Who.CoveringClinician].PersonId,
                FromOn = StoreFixture.TodayOn,
                ThroughOn = StoreFixture.TodayOn.AddDays(1),
            };
            context.Add(cover);
            (ReachId, CoverId) = (StoreFixture.NewId(), cover.Id);
            DigestId = AddDigest(context, _actors[Who.OwnClinician].PersonId, Children[0].Child);
            (await context.People.SingleAsync(row => row.Id == _actors[Who.Disabled].PersonId, Ct)).DisabledAt = StoreFixture.NoonAt;
            var signedOut = await context.SignIns.SingleAsync(row => row.Id == _actors[Who.SignedOut].SignInId, Ct);
            (signedOut.EndedAt, signedOut.EndedWhy) = (StoreFixture.NoonAt, SignInEnd.SignedOut);
            (await context.SignIns.SingleAsync(row => row.Id == _actors[Who.Idle].SignInId, Ct)).LastSeenAt =
                StoreFixture.NoonAt.AddMinutes(-AccessPolicy.Default.IdleMinutes);
            await context.SaveChangesAsync(Ct);
        }
        await using (var reasoning = await Store.Db.EnterAsync(_actors[Who.ReasoningClinician], Permission.ReachByReason, Ct))
        {
            reasoning.Add(
                new ReasonedReach
                {
                    ProgrammeId = a,
                    Id = ReachId,
                    ChildId = Children[1].Child.Id,
                    PersonId = _actors[Who.ReasoningClinician].PersonId,
                    Reason = "Stands in for an hour",
                    FromAt = StoreFixture.NoonAt.AddHours(-1),
                    UntilAt = StoreFixture.NoonAt.AddHours(7),
                }
            );
            await reasoning.SaveChangesAsync(Ct);
        }
        await using var other = Store.ContextB();
        // A code that the first programme has not given.
        await ChildCodes.NextAsync(other, Ct);
        await ChildCodes.NextAsync(other, Ct);
        Children = [.. Children, await AddAsync(other, null, hasOpenVisits, areClosed)];
        await other.SaveChangesAsync(Ct);
        Children = [.. await Task.WhenAll(Children.Select(WithVersionAsync))];
    }

    private async Task<ChildCase> WithVersionAsync(ChildCase child)
    {
        await using var context = Store.Db.ForJob("test", child.Child.ProgrammeId);
        return child with { AlertVersion = (await context.Alerts.SingleAsync(row => row.Id == child.AlertId, Ct)).RowVersion };
    }

    private static Guid AddDigest(CaseloadDbContext context, Guid personId, Child child)
    {
        var content = new DigestContent(
            DigestScope.Clinician,
            "2026-W48",
            StoreFixture.TodayOn,
            1,
            [new DigestChild(child.Id, child.Code, child.Code, null)],
            [],
            [],
            [],
            [],
            [],
            [],
            [],
            [new DigestNotVisited(child.Id, null, 9)],
            [],
            null
        );
        var digest = new Digest
        {
            ProgrammeId = context.ProgrammeId,
            Id = StoreFixture.NewId(),
            PersonId = personId,
            Scope = content.Scope,
            Week = content.Week,
            AsOfOn = content.AsOfOn,
            MadeAt = StoreFixture.NoonAt,
            Content = content.ToJson(),
            Subject = "subject",
            Text = "text",
            Html = "html",
        };
        context.Add(digest);
        return digest.Id;
    }

    private async Task<ChildCase> AddAsync(CaseloadDbContext context, Guid? clinicianId, bool hasOpenVisit, bool isClosed)
    {
        var child = await StoreFixture.AddChildAsync(context, "2026-06-01");
        child.ClinicianId = clinicianId;
        if (isClosed)
        {
            (child.ClosedOn, child.ClosingReason) = (StoreFixture.TodayOn, "moved away");
        }
        var finding = StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Typical);
        Visit? open = null;
        if (hasOpenVisit)
        {
            open = new Visit
            {
                ProgrammeId = context.ProgrammeId,
                Id = StoreFixture.NewId(),
                ChildId = child.Id,
                VisitedOn = StoreFixture.TodayOn,
                StartedAt = StoreFixture.NoonAt,
            };
            context.Add(open);
        }
        context.Record("child-added", child.Id, StoreFixture.NoonAt);
        await Store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        // Of a kind and a sign that nothing else here gives rise to.
        var sign = new RecordedSign
        {
            ProgrammeId = context.ProgrammeId,
            Id = StoreFixture.NewId(),
            ChildId = child.Id,
            Sign = UrgentSign.Apnoea,
            SeenOn = StoreFixture.TodayOn,
        };
        var alert = new Alert
        {
            ProgrammeId = context.ProgrammeId,
            Id = StoreFixture.NewId(),
            ChildId = child.Id,
            Item = sign.Sign.ToWord(),
            Kind = AlertKind.UrgentSign,
            Step = 0,
            Severity = Concern.SameDay,
            SinceOn = StoreFixture.TodayOn,
            Reasons = "[]",
            SetKey = "published@1",
            State = AlertState.Open,
            RaisedOn = StoreFixture.TodayOn,
            RaisedAt = StoreFixture.NoonAt,
            AnswerBy = StoreFixture.NoonAt.AddHours(4),
        };
        context.AddRange(sign, alert);
        var letter = new FamilyLetter
        {
            ProgrammeId = context.ProgrammeId,
            Id = StoreFixture.NewId(),
            ChildId = child.Id,
            Language = "en",
            AsOfOn = StoreFixture.TodayOn,
            Parts = "[]",
            Contact = "Given Family, 555 0100",
            SavedAt = StoreFixture.NoonAt,
            Who = "test",
        };
        context.Add(letter);
        return new ChildCase(child, finding.VisitId, finding.Id, open?.Id, alert.Id, sign.Id, letter.Id);
    }

    /// <summary>One response, logged as pages log it.</summary>
    internal static VisitForm OneResponse() =>
        new()
        {
            Entries =
            [
                new EntryForm
                {
                    Item = "rooting",
                    Left = Response.Weak,
                    Right = Response.Weak,
                    State = BehaviouralState.QuietAlert,
                }.WithIds(StoreFixture.NewId),
            ],
        };
}
