using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Data.Configurations;
using Caseload.Data.Digests;
using Caseload.Data.Jobs;
using Caseload.Data.Mail;
using Caseload.Data.Papers;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Data.Visits;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Conventions;
using Microsoft.EntityFrameworkCore.Storage;

namespace Caseload.Data;

/// <summary>The store, seen from one programme. Only <see cref="CaseloadDb"/> makes one; any other sees no row and saves none.</summary>
public sealed class CaseloadDbContext(DbContextOptions<CaseloadDbContext> options) : DbContext(options)
{
    /// <summary>The name of the filter that keeps programmes apart.</summary>
    public const string TenantFilter = "tenant";

    /// <summary>The name of the filter that keeps children apart from people who do not reach them.</summary>
    public const string ReachFilter = "reach";

    // Ordinary fields: a filter over primary-constructor parameters is broken in EF Core 10.0.6 (efcore #38132).
    private Guid _programmeId;
    private bool _findsProgrammes;
    private bool _findsPeople;
    private bool _readsProgramme;
    private Guid[] _reachedChildIds = [];
    private bool _holdsConnection;
    private IDbContextTransaction? _heldTransaction;
    private bool _hasAlerts;
    private bool _hasMessages;

    /// <summary>The programme the context was made for; new rows carry it.</summary>
    public Guid ProgrammeId => _programmeId;

    /// <summary>Who the context was made for, as the access record shows it.</summary>
    public string Who => Scope.Who;

    /// <summary>The person the context was made for.</summary>
    public Guid? PersonId => Scope.PersonId;

    /// <summary>The clinician the context was made for, when the person is one.</summary>
    public Guid? ClinicianId => Scope.ClinicianId;

    /// <summary>Whether every child of the programme is read.</summary>
    public bool ReadsProgramme => _readsProgramme;

    /// <summary>Hears what was saved.</summary>
    internal ISavedListener? Listener { get; set; }

    /// <summary>For whom, for what and how far.</summary>
    internal StoreScope Scope { get; private set; } = StoreScope.Nothing;

    public DbSet<Programme> Programmes => Set<Programme>();
    public DbSet<Clinician> Clinicians => Set<Clinician>();
    public DbSet<ReferenceSetVersion> ReferenceSetVersions => Set<ReferenceSetVersion>();
    public DbSet<Child> Children => Set<Child>();
    public DbSet<RecordedExclusion> Exclusions => Set<RecordedExclusion>();
    public DbSet<RecordedConcern> Concerns => Set<RecordedConcern>();
    public DbSet<ChildCodeCounter> ChildCodeCounters => Set<ChildCodeCounter>();
    public DbSet<Visit> Visits => Set<Visit>();
    public DbSet<VisitDraft> VisitDrafts => Set<VisitDraft>();
    public DbSet<RecordedFinding> Findings => Set<RecordedFinding>();
    public DbSet<ItemStatus> ItemStatuses => Set<ItemStatus>();
    public DbSet<RecordedSign> Signs => Set<RecordedSign>();
    public DbSet<ChildStatus> ChildStatuses => Set<ChildStatus>();
    public DbSet<Alert> Alerts => Set<Alert>();
    public DbSet<AlertStep> AlertSteps => Set<AlertStep>();
    public DbSet<Digest> Digests => Set<Digest>();
    public DbSet<OutgoingMessage> OutgoingMessages => Set<OutgoingMessage>();
    public DbSet<JobRun> JobRuns => Set<JobRun>();
    public DbSet<ChildTombstone> ChildTombstones => Set<ChildTombstone>();
    public DbSet<Person> People => Set<Person>();
    public DbSet<PersonPasskey> PersonPasskeys => Set<PersonPasskey>();
    public DbSet<PersonLogin> PersonLogins => Set<PersonLogin>();
    public DbSet<RecoveryCode> RecoveryCodes => Set<RecoveryCode>();
    public DbSet<SignIn> SignIns => Set<SignIn>();
    public DbSet<Invitation> Invitations => Set<Invitation>();
    public DbSet<Cover> Covers => Set<Cover>();
    public DbSet<ReasonedReach> ReasonedReaches => Set<ReasonedReach>();
    public DbSet<Assignment> Assignments => Set<Assignment>();
    public DbSet<NeverPair> NeverPairs => Set<NeverPair>();
    public DbSet<PlannedVisit> PlannedVisits => Set<PlannedVisit>();
    public DbSet<CalendarFeed> CalendarFeeds => Set<CalendarFeed>();
    public DbSet<FamilyLetter> FamilyLetters => Set<FamilyLetter>();
    public DbSet<SummaryExport> SummaryExports => Set<SummaryExport>();
    public DbSet<AccessEntry> AccessEntries => Set<AccessEntry>();
    public DbSet<AccessChainHead> AccessChainHeads => Set<AccessChainHead>();
    public DbSet<SetupLink> SetupLinks => Set<SetupLink>();
    public DbSet<ProtectionKey> ProtectionKeys => Set<ProtectionKey>();

    /// <summary>Whether the person may do it; for use cases that do more for some. A job may do everything.</summary>
    public bool May(Permission permission) =>
        Scope.Purpose == StorePurpose.Job || (Scope.Purpose == StorePurpose.Person && PermissionTable.Allows(Scope.Roles, permission));

    /// <summary>Whether the person may change the child's record; reading it is a wider right.</summary>
    public bool MayWrite(Guid childId) =>
        Scope.Writes == Reach.Programme || (Scope.Writes == Reach.Own && _reachedChildIds.Contains(childId));

    /// <summary>Refuses to go on when the person may not change the child's record.</summary>
    /// <exception cref="AccessDeniedException">The child is not theirs to change.</exception>
    public void DemandWriting(Guid childId)
    {
        if (!MayWrite(childId))
        {
            throw new AccessDeniedException("This child's record is not yours to change.");
        }
    }

    /// <summary>Adds an entry of the access record to the unit of work, in the name of whom the context was made for.</summary>
    /// <param name="what">The word for what was done, for example <c>visit-finished</c>.</param>
    /// <param name="childId">The child concerned.</param>
    /// <param name="at">When.</param>
    /// <param name="detail">Identifiers, dates, counts and words.</param>
    /// <param name="attemptId">The attempt that the command carries.</param>
    public void Record(string what, Guid? childId, DateTimeOffset at, AccessDetail? detail = null, Guid? attemptId = null) =>
        AccessEntries.Add(
            new AccessEntry
            {
                ProgrammeId = _programmeId,
                Id = Guid.CreateVersion7(at),
                ChildId = childId,
                At = at,
                Who = Who,
                PersonId = Scope.PersonId,
                SignInId = Scope.SignInId,
                What = what,
                Address = Scope.Address,
                Detail = (detail ?? new AccessDetail()).ToString(),
                AttemptId = attemptId,
            }
        );

    /// <summary>Writes an entry of the access record by itself, for a look: nothing is shown unless it was written.</summary>
    public async Task RecordLookAsync(string what, Guid? childId, DateTimeOffset at, CancellationToken ct, AccessDetail? detail = null)
    {
        Record(what, childId, at, detail);
        await SaveChangesAsync(ct);
    }

    /// <summary>
    /// Says which version of a row a form was filled in from; the save then fails with <see cref="DbUpdateConcurrencyException"/>
    /// when somebody saved another since.
    /// </summary>
    public void ExpectVersion(IProgrammeOwned row, uint rowVersion) => Entry(row).Property("RowVersion").OriginalValue = rowVersion;

    /// <summary>The instant for which the context works.</summary>
    public DateTimeOffset At => Scope.At;

    /// <summary>Goes on as of another instant; for histories that a job writes afterwards.</summary>
    public void MoveTo(DateTimeOffset at) => Scope = Scope with { At = at };

    internal void Enter(StoreScope scope)
    {
        Scope = scope;
        _programmeId = scope.ProgrammeId;
        _findsProgrammes = scope.Purpose == StorePurpose.FindProgrammes;
        _findsPeople = scope.Purpose == StorePurpose.FindPerson;
        _readsProgramme = scope.Reads == Reach.Programme;
        _reachedChildIds = scope.ReachedChildIds;
        _holdsConnection = false;
        _heldTransaction = null;
        _hasAlerts = false;
        _hasMessages = false;
    }

    /// <summary>Says that the unit of work holds messages to be sent.</summary>
    internal void NoteMessages() => _hasMessages = true;

    /// <summary>Says that the unit of work raises or changes alerts.</summary>
    internal void NoteAlerts() => _hasAlerts = true;

    /// <summary>Tells of both, now that they are committed.</summary>
    internal void TellOfSaved()
    {
        if (_hasAlerts)
        {
            Listener?.AlertsSaved(_programmeId);
        }
        if (_hasMessages)
        {
            Listener?.MessagesSaved(_programmeId);
        }
        _hasAlerts = false;
        _hasMessages = false;
    }

    /// <summary>
    /// Goes on for the whole programme, still in the person's name: for work that the person may start and that concerns children whom the
    /// person does not see.
    /// </summary>
    internal async Task WidenToProgrammeAsync(CancellationToken ct)
    {
        if (Scope.Purpose == StorePurpose.Job)
        {
            return;
        }
        var (held, hasAlerts, hasMessages) = (_heldTransaction, _hasAlerts, _hasMessages);
        await EnterHeldAsync(Scope with { Purpose = StorePurpose.Job }, ct);
        (_heldTransaction, _hasAlerts, _hasMessages) = (held, hasAlerts, hasMessages);
    }

    /// <summary>Opens the connection and keeps it until the context is disposed.</summary>
    internal async Task HoldConnectionAsync(CancellationToken ct)
    {
        await Database.OpenConnectionAsync(ct);
        _holdsConnection = true;
    }

    /// <summary>Changes the scope while the connection is held.</summary>
    internal async Task EnterHeldAsync(StoreScope scope, CancellationToken ct)
    {
        Enter(scope);
        _holdsConnection = true;
        await ScopeInterceptor.TellAsync(Database.GetDbConnection(), scope, ct);
    }

    /// <inheritdoc />
    public override async ValueTask DisposeAsync()
    {
        if (_holdsConnection)
        {
            _holdsConnection = false;
            await Database.CloseConnectionAsync();
        }
        Enter(StoreScope.Nothing);
        await base.DisposeAsync();
    }

    /// <summary>Opens a transaction that the next save commits, so that rows locked now stay locked until then.</summary>
    internal async Task HoldTransactionAsync(CancellationToken ct)
    {
        if (Database.CurrentTransaction is null)
        {
            // The save is the last statement of the transaction: a savepoint before it would only cost a round trip.
            Database.AutoSavepointsEnabled = false;
            _heldTransaction = await Database.BeginTransactionAsync(ct);
        }
    }

    /// <summary>Not offered: the database is spoken to asynchronously throughout.</summary>
    public override int SaveChanges(bool acceptAllChangesOnSuccess) => throw new NotSupportedException("Use SaveChangesAsync.");

    /// <inheritdoc />
    public override async Task<int> SaveChangesAsync(bool acceptAllChangesOnSuccess, CancellationToken cancellationToken = default)
    {
        SaveGuard.Check(ChangeTracker, _programmeId);
        if (ChangeTracker.Entries<Alert>().Any(entry => entry.State != EntityState.Unchanged))
        {
            NoteAlerts();
        }
        if (_heldTransaction is not { } held)
        {
            var saved = await base.SaveChangesAsync(acceptAllChangesOnSuccess, cancellationToken);
            if (Database.CurrentTransaction is null)
            {
                TellOfSaved();
            }
            return saved;
        }
        _heldTransaction = null;
        await using (held)
        {
            var count = await base.SaveChangesAsync(acceptAllChangesOnSuccess, cancellationToken);
            await held.CommitAsync(cancellationToken);
            return count;
        }
    }

    protected override void ConfigureConventions(ModelConfigurationBuilder configurationBuilder)
    {
        // Indexes are stated where a query needs them: findings take many foreign keys that nobody looks up by.
        configurationBuilder.Conventions.Remove<ForeignKeyIndexConvention>();

        StoreAsWord<Discipline>();
        StoreAsWord<Exclusion>();
        StoreAsWord<Side>();
        StoreAsWord<Response>();
        StoreAsWord<BehaviouralState>();
        StoreAsWord<NotTestedReason>();
        StoreAsWord<ItemState>();
        StoreAsWord<CheckPurpose>();
        StoreAsWord<SignInMethod>();
        StoreAsWord<SignInEnd>();
        StoreAsWord<UrgentSign>();
        StoreAsWord<AlertKind>();
        StoreAsWord<AlertState>();
        StoreAsWord<AlertEnd>();
        StoreAsWord<AlertStepKind>();
        StoreAsWord<DigestScope>();
        StoreAsWord<MessageKind>();
        StoreAsWord<JobOutcome>();
        StoreAsWord<SummaryFormat>();

        void StoreAsWord<T>()
            where T : struct, Enum => configurationBuilder.Properties<T>().HaveConversion<StoredWord<T>>().HaveMaxLength(TextLimits.Word);
    }

    protected override void OnModelCreating(ModelBuilder modelBuilder)
    {
        modelBuilder.ApplyConfigurationsFromAssembly(typeof(CaseloadDbContext).Assembly);

        // What is looked for before it is known which programme somebody belongs to; everything else stays out of sight then.
        modelBuilder.Entity<Programme>().HasQueryFilter(TenantFilter, row => _findsProgrammes || _findsPeople || row.Id == _programmeId);
        modelBuilder.Entity<Person>().HasQueryFilter(TenantFilter, row => _findsPeople || row.ProgrammeId == _programmeId);
        modelBuilder.Entity<PersonPasskey>().HasQueryFilter(TenantFilter, row => _findsPeople || row.ProgrammeId == _programmeId);
        modelBuilder.Entity<PersonLogin>().HasQueryFilter(TenantFilter, row => _findsPeople || row.ProgrammeId == _programmeId);
        modelBuilder.Entity<SignIn>().HasQueryFilter(TenantFilter, row => _findsPeople || row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Invitation>().HasQueryFilter(TenantFilter, row => _findsPeople || row.ProgrammeId == _programmeId);

        modelBuilder.Entity<RecoveryCode>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Clinician>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ReferenceSetVersion>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Child>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedExclusion>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedConcern>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ChildCodeCounter>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ChildTombstone>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Visit>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<VisitDraft>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedFinding>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ItemStatus>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedSign>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ChildStatus>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Alert>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<AlertStep>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Digest>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<OutgoingMessage>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<JobRun>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Assignment>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<NeverPair>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<PlannedVisit>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<CalendarFeed>().HasQueryFilter(TenantFilter, row => _findsPeople || row.ProgrammeId == _programmeId);
        modelBuilder.Entity<FamilyLetter>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<SummaryExport>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Cover>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ReasonedReach>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<AccessEntry>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<AccessChainHead>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);

        // A child and everything that hangs on one. One array parameter, whatever the length of the list.
        modelBuilder
            .Entity<Child>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.Id));
        modelBuilder
            .Entity<RecordedExclusion>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<RecordedConcern>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<Visit>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<VisitDraft>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || Visits.Any(visit => visit.Id == row.VisitId));
        modelBuilder
            .Entity<RecordedFinding>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<ItemStatus>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<RecordedSign>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<ChildStatus>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<Alert>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<AlertStep>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<Assignment>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<NeverPair>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<PlannedVisit>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
        modelBuilder
            .Entity<FamilyLetter>()
            .HasQueryFilter(ReachFilter, row => _readsProgramme || EF.Parameter(_reachedChildIds).Contains(row.ChildId));
    }
}
