using Caseload.Data.Audit;
using Caseload.Data.Children;
using Caseload.Data.Configurations;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
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

    // Ordinary fields: a filter over primary-constructor parameters is broken in EF Core 10.0.6 (efcore #38132).
    private Guid _programmeId;
    private bool _isSetup;
    private IDbContextTransaction? _heldTransaction;

    /// <summary>The programme the context was made for; new rows carry it.</summary>
    public Guid ProgrammeId => _programmeId;

    /// <summary>Who the context was made for, as the activity list shows it.</summary>
    public string Who { get; private set; } = "";

    /// <summary>The clinician the context was made for, when the person is one.</summary>
    public Guid? ClinicianId { get; private set; }

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
    public DbSet<ActivityEntry> ActivityEntries => Set<ActivityEntry>();

    /// <summary>Adds an activity entry to the unit of work, in the name of whom the context was made for.</summary>
    /// <param name="what">The word for what was done, for example <c>visit-finished</c>.</param>
    /// <param name="childId">The child concerned.</param>
    /// <param name="at">When.</param>
    /// <param name="detail">Identifiers, dates, counts and words.</param>
    /// <param name="attemptId">The attempt that the command carries.</param>
    public void RecordActivity(string what, Guid? childId, DateTimeOffset at, ActivityDetail? detail = null, Guid? attemptId = null) =>
        ActivityEntries.Add(
            new ActivityEntry
            {
                ProgrammeId = _programmeId,
                Id = Guid.CreateVersion7(at),
                ChildId = childId,
                At = at,
                Who = Who,
                ClinicianId = ClinicianId,
                What = what,
                Detail = (detail ?? new ActivityDetail()).ToString(),
                AttemptId = attemptId,
            }
        );

    /// <summary>
    /// Says which version of a row a form was filled in from; the save then fails with <see cref="DbUpdateConcurrencyException"/>
    /// when somebody saved another since.
    /// </summary>
    public void ExpectVersion(IProgrammeOwned row, uint rowVersion) => Entry(row).Property("RowVersion").OriginalValue = rowVersion;

    internal void Enter(Guid programmeId, string who, Guid? clinicianId, bool isSetup)
    {
        _programmeId = programmeId;
        _isSetup = isSetup;
        _heldTransaction = null;
        Who = who;
        ClinicianId = clinicianId;
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
        SaveGuard.Check(ChangeTracker, _programmeId, _isSetup);
        if (_heldTransaction is not { } held)
        {
            return await base.SaveChangesAsync(acceptAllChangesOnSuccess, cancellationToken);
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

        void StoreAsWord<T>()
            where T : struct, Enum => configurationBuilder.Properties<T>().HaveConversion<StoredWord<T>>().HaveMaxLength(TextLimits.Word);
    }

    protected override void OnModelCreating(ModelBuilder modelBuilder)
    {
        modelBuilder.ApplyConfigurationsFromAssembly(typeof(CaseloadDbContext).Assembly);

        // Programmes are what a setup looks for; everything they own stays out of its sight.
        modelBuilder.Entity<Programme>().HasQueryFilter(TenantFilter, programme => _isSetup || programme.Id == _programmeId);
        modelBuilder.Entity<Clinician>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ReferenceSetVersion>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Child>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedExclusion>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedConcern>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ChildCodeCounter>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<Visit>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<VisitDraft>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<RecordedFinding>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ItemStatus>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<ActivityEntry>().HasQueryFilter(TenantFilter, row => row.ProgrammeId == _programmeId);
    }
}
