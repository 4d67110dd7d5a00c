using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Integration.Tests.Store;

public sealed class ProgrammeBorderTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public void Entity_Every_HasTheTenantFilter()
    {
        using var context = store.ContextA();

        var without = context
            .Model.GetEntityTypes()
            .Where(type => type.FindDeclaredQueryFilter(CaseloadDbContext.TenantFilter) is null)
            .Select(type => type.ClrType.Name);

        // Keys and the setup link belong to the installation, before and above every programme.
        without.ShouldBe(["ProtectionKey", "SetupLink"], ignoreOrder: true);
    }

    [Fact]
    public async Task Context_OfOneProgramme_SeesNothingOfAnother()
    {
        await using (var b = store.ContextB())
        {
            var child = await StoreFixture.AddChildAsync(b);
            var finding = StoreFixture.AddFinding(b, child, "moro", StoreFixture.TodayOn, Response.Typical);
            b.Add(NewClinician(store.ProgrammeB));
            b.Add(
                new RecordedExclusion
                {
                    ProgrammeId = store.ProgrammeB,
                    Id = StoreFixture.NewId(),
                    ChildId = child.Id,
                    Exclusion = Exclusion.Reflux,
                    FromOn = child.BornOn,
                }
            );
            b.Add(
                new RecordedConcern
                {
                    ProgrammeId = store.ProgrammeB,
                    Id = StoreFixture.NewId(),
                    ChildId = child.Id,
                    Concern = "feeding",
                    RecordedOn = StoreFixture.TodayOn,
                }
            );
            b.Add(
                new VisitDraft
                {
                    ProgrammeId = store.ProgrammeB,
                    VisitId = finding.VisitId,
                    Form = "{}",
                    UpdatedAt = StoreFixture.NoonAt,
                }
            );
            await store.Statuses.RewriteAsync(b, child.Id, StoreFixture.TodayOn, Ct);
            await b.SaveChangesAsync(Ct);
            (await SeenAsync(b)).Count.ShouldBe(12);
        }

        await using var a = store.ContextA();
        await using var nobody = store.Db.ForJob("test", Guid.Empty);

        (await SeenAsync(a)).SelectMany(pair => pair.Value).ShouldAllBe(programmeId => programmeId == store.ProgrammeA);
        (await SeenAsync(nobody)).ShouldBeEmpty();
    }

    [Fact]
    public async Task Save_OfAnothersRow_IsRefused()
    {
        await using var a = store.ContextA();
        a.Add(NewClinician(store.ProgrammeB));

        await Should.ThrowAsync<ForeignProgrammeException>(() => a.SaveChangesAsync(Ct));
    }

    [Fact]
    public async Task Save_WithoutAProgramme_IsRefused()
    {
        await using var nobody = store.Db.ForJob("test", Guid.Empty);
        nobody.Add(NewClinician(Guid.Empty));

        await Should.ThrowAsync<ForeignProgrammeException>(() => nobody.SaveChangesAsync(Ct));
    }

    [Fact]
    public async Task Child_OfAnothersClinician_IsRefusedByTheKey()
    {
        var clinician = NewClinician(store.ProgrammeB);
        await using (var b = store.ContextB())
        {
            b.Add(clinician);
            await b.SaveChangesAsync(Ct);
        }

        await using var a = store.ContextA();
        (await StoreFixture.AddChildAsync(a)).ClinicianId = clinician.Id;

        await ShouldBreakAsync(a, "fk_children_clinicians_programme_id_clinician_id");
    }

    [Fact]
    public async Task Visit_OfAnothersChild_IsRefusedByTheKey()
    {
        Child foreign;
        await using (var b = store.ContextB())
        {
            foreign = await StoreFixture.AddChildAsync(b);
            await b.SaveChangesAsync(Ct);
        }

        await using var a = store.ContextA();
        a.Add(
            new Visit
            {
                ProgrammeId = store.ProgrammeA,
                Id = StoreFixture.NewId(),
                ChildId = foreign.Id,
                VisitedOn = StoreFixture.TodayOn,
                StartedAt = StoreFixture.NoonAt,
            }
        );

        await ShouldBreakAsync(a, "fk_visits_children_programme_id_child_id");
    }

    [Fact]
    public async Task Finding_AtAnotherChildsVisit_IsRefusedByTheKey()
    {
        await using var context = store.ContextA();
        var one = await StoreFixture.AddChildAsync(context);
        var other = await StoreFixture.AddChildAsync(context);
        var visited = StoreFixture.AddFinding(context, one, "moro", StoreFixture.TodayOn, Response.Typical);
        await context.SaveChangesAsync(Ct);

        var refused = await Should.ThrowAsync<PostgresException>(() =>
            store.AskAppAsync(
                $"""
                insert into findings (programme_id, id, child_id, visit_id, item, observed_on, side, state_scale, recorded_at, set_key,
                    response, is_withdrawal)
                values ('{store.ProgrammeA}', '{StoreFixture.NewId()}', '{other.Id}', '{visited.VisitId}', 'moro', '2026-11-25', 'both',
                    'six states in words', now(), 'published@1', 'typical', false)
                """
            )
        );

        refused.ConstraintName.ShouldBe("fk_findings_visits_programme_id_child_id_visit_id");
    }

    [Fact]
    public async Task Programme_WithASetItNeverPublished_IsRefused()
    {
        await using var a = store.ContextA();
        (await a.Programmes.SingleAsync(Ct)).ActiveSetKey = "published@99";

        var refused = await Should.ThrowAsync<Exception>(() => a.SaveChangesAsync(Ct));

        (refused as PostgresException ?? (PostgresException)refused.InnerException!).ConstraintName.ShouldBe("fk_programmes_active_set");
    }

    [Fact]
    public async Task Codes_OfTwoProgrammes_CountSeparately()
    {
        var one = StoreFixture.NewId();
        var other = StoreFixture.NewId();
        await store.Db.CreateProgrammeAsync(one, "One", "Europe/Paris", StoreFixture.NoonAt, Ct);
        await store.Db.CreateProgrammeAsync(other, "Other", "Europe/Paris", StoreFixture.NoonAt, Ct);
        await using var first = store.Db.ForJob("test", one);
        await using var second = store.Db.ForJob("test", other);

        var codes = new[]
        {
            await ChildCodes.NextAsync(first, Ct),
            await ChildCodes.NextAsync(first, Ct),
            await ChildCodes.NextAsync(second, Ct),
        };

        codes.ShouldBe(["K-001", "K-002", "K-001"]);
    }

    [Fact]
    public async Task Programme_Stored_KeepsItsPolicy()
    {
        var policy = ReviewPolicy.Default with { GraceDays = 21, ScheduleOptionalItems = true };
        await using (var context = store.ContextB())
        {
            (await context.Programmes.SingleAsync(Ct)).Policy = policy;
            await context.SaveChangesAsync(Ct);
        }

        await using var reader = store.ContextB();
        (await reader.Programmes.AsNoTracking().SingleAsync(Ct)).Policy.ShouldBe(policy);
        (await store.Library.GetActiveAsync(reader, Ct)).Policy.ShouldBe(policy);
    }

    private static async Task ShouldBreakAsync(CaseloadDbContext context, string constraint)
    {
        var refused = await Should.ThrowAsync<DbUpdateException>(() => context.SaveChangesAsync(Ct));
        ((PostgresException)refused.InnerException!).ConstraintName.ShouldBe(constraint);
    }

    private static Clinician NewClinician(Guid programmeId) =>
        new()
        {
            ProgrammeId = programmeId,
            Id = StoreFixture.NewId(),
            Name = "Clinician",
            Initials = "CL",
            Discipline = Discipline.OccupationalTherapy,
        };

    /// <summary>The programmes of the rows a context sees, by entity; entities without rows are left out.</summary>
    private static async Task<Dictionary<string, List<Guid>>> SeenAsync(CaseloadDbContext context)
    {
        var seen = new Dictionary<string, List<Guid>>();
        await AddAsync(context.Programmes);
        await AddAsync(context.Clinicians);
        await AddAsync(context.ReferenceSetVersions);
        await AddAsync(context.Children);
        await AddAsync(context.Exclusions);
        await AddAsync(context.Concerns);
        await AddAsync(context.ChildCodeCounters);
        await AddAsync(context.Visits);
        await AddAsync(context.VisitDrafts);
        await AddAsync(context.Findings);
        await AddAsync(context.ItemStatuses);
        await AddAsync(context.AccessEntries);
        return seen;

        async Task AddAsync<T>(IQueryable<T> rows)
            where T : class, IProgrammeOwned
        {
            var found = await rows.AsNoTracking().ToListAsync(Ct);
            if (found.Count > 0)
            {
                seen.Add(typeof(T).Name, [.. found.Select(row => row.ProgrammeId)]);
            }
        }
    }
}
