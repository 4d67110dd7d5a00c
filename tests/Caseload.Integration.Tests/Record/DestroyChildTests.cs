using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Record;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Integration.Tests.Record;

[Trait("Requirement", "SEC-46")]
public sealed class DestroyChildTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private const string GivenName = "Quillaria";
    private const string FamilyName = "Zephyrwood";
    private const string Note = "Naps after the Quokka song";
    private static readonly DateOnly _bornOn = StoreFixture.Day("2019-03-17");

    private readonly RecordSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Destroyed_Record_LeavesATombstoneAndNothingThatTellsWhoItWas()
    {
        var child = await AddWholeRecordAsync(closedOn: "2020-11-25");
        (await TablesWithAsync(child.Id.ToString())).ShouldContain("findings");
        (await TablesWithAsync(Note)).ShouldBe(
            ["child_concerns", "child_exclusions", "children", "findings", "visit_drafts", "visits"],
            ignoreOrder: true
        );

        var refusals = await DestroyAsync(store.LeadA, child, DestructionReason.RetentionOver);

        refusals.ShouldBeEmpty();
        (await TablesWithAsync(child.Id.ToString())).ShouldBe(["access_entries", "child_tombstones"], ignoreOrder: true);
        foreach (var trace in new[] { GivenName, FamilyName, Note, "2019-03-17", "Quokka" })
        {
            (await TablesWithAsync(trace)).ShouldBeEmpty();
        }
        await using var context = store.ContextA();
        var left = await context.ChildTombstones.SingleAsync(row => row.ChildId == child.Id, Ct);
        (left.Code, left.ClosedOn, left.VisitCount, left.FindingCount, left.Reason, left.DestroyedById).ShouldBe(
            (child.Code, StoreFixture.Day("2020-11-25"), 2, 2, "retention-over", store.LeadA.PersonId)
        );
        var entry = await context.AccessEntries.SingleAsync(row => row.What == "child-destroyed" && row.ChildId == child.Id, Ct);
        entry.Detail.ShouldBe("""{"reason": "retention-over", "visits": 2, "findings": 2}""");
        (await AccessChain.VerifyAsync(context, null, Ct)).IsIntact.ShouldBeTrue();
    }

    [Fact]
    public async Task Address_OfADestroyedRecord_ShowsTheTombstoneToThoseWhoReadTheProgramme()
    {
        var child = await AddWholeRecordAsync(closedOn: "2020-11-25");
        await DestroyAsync(store.LeadA, child, DestructionReason.RetentionOver);
        var observer = await _steps.AddAsync(Role.Observer);
        var clinician = await _steps.AddAsync(Role.Clinician);

        (await _steps.OpenAsync(observer, child.Id)).ShouldBeNull();
        var seen = (await TombstoneAsync(observer, child.Id)).ShouldNotBeNull();

        (seen.Code, seen.DestroyedOn, seen.DestroyedBy, seen.Reason).ShouldBe(
            (child.Code, StoreFixture.TodayOn, store.LeadA.DisplayName, DestructionReason.RetentionOver)
        );
        (await TombstoneAsync(clinician, child.Id)).ShouldBeNull();
        (await _steps.ReachAsync(clinician, child.Code)).ShouldBeOfType<OpenByReasonOutcome.Refused>();
        var listed = await new ListChildrenHandler(store.Db, store.Statuses, store.Library, store.Time).HandleAsync(
            observer,
            new ListChildren("", null, true, ChildSort.Name, false, 0),
            Ct
        );
        listed.Rows.ShouldNotContain(row => row.Id == child.Id);
    }

    [Fact]
    public async Task Record_BeforeItsTimeIsOver_GoesOnlyWhenTheFamilyAsked()
    {
        var child = await AddWholeRecordAsync(closedOn: "2020-11-26");

        (await DestroyAsync(store.LeadA, child, DestructionReason.RetentionOver)).ShouldHaveSingleItem().Field.ShouldBe("destroy-reason");
        (await DestroyAsync(store.LeadA, child, null)).ShouldHaveSingleItem().Field.ShouldBe("destroy-reason");
        (await DestroyAsync(store.LeadA, child, DestructionReason.FamilyAsked, "K-0"))
            .ShouldHaveSingleItem()
            .Field.ShouldBe("destroy-code");
        (await TablesWithAsync(child.Id.ToString())).ShouldContain("children");

        (await DestroyAsync(store.LeadA, child, DestructionReason.FamilyAsked)).ShouldBeEmpty();

        (await TombstoneAsync(store.LeadA, child.Id))!.Reason.ShouldBe(DestructionReason.FamilyAsked);
        (await DestroyAsync(store.LeadA, child, DestructionReason.FamilyAsked)).ShouldHaveSingleItem();
    }

    [Fact]
    public async Task Record_OfAnOpenCase_CannotBeDestroyed()
    {
        var child = await _steps.AddChildAsync();

        (await DestroyAsync(store.LeadA, child, DestructionReason.FamilyAsked))
            .ShouldHaveSingleItem()
            .Message.ShouldContain("Close the case first");

        await using var context = await store.Db.EnterAsync(store.LeadA, Permission.DestroyRecords, Ct);
        await Should.ThrowAsync<PostgresException>(() => RecordFunctions.DestroyChildAsync(context, child.Id, "family-asked", Ct));
    }

    [Theory]
    [InlineData(Role.Clinician)]
    [InlineData(Role.Observer)]
    [InlineData(Role.Administrator)]
    public async Task Record_CannotBeDestroyedByOthers_NotEvenThroughTheDatabase(Role role)
    {
        var actor = await _steps.AddAsync(role);
        var child = await AddWholeRecordAsync(closedOn: "2020-11-25", clinician: role == Role.Clinician ? actor : null);

        await Should.ThrowAsync<AccessDeniedException>(() => DestroyAsync(actor, child, DestructionReason.FamilyAsked));
        await using (var context = await store.Db.EnterAsync(actor, Permission.KeepOwnAccount, Ct))
        {
            var refused = await Should.ThrowAsync<PostgresException>(() =>
                RecordFunctions.DestroyChildAsync(context, child.Id, "family-asked", Ct)
            );
            refused.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege);
        }

        (await TablesWithAsync(child.Id.ToString())).ShouldContain("children");
        await DestroyAsync(store.LeadA, child, DestructionReason.FamilyAsked);
    }

    [Fact]
    public async Task Records_WhoseTimeIsOver_AreListedFromTheDayOn()
    {
        var over = await AddWholeRecordAsync(closedOn: "2020-11-25");
        var notYet = await AddWholeRecordAsync(closedOn: "2020-11-26");

        var listed = await new ListOverdueRecordsHandler(store.Db, store.Time).HandleAsync(store.LeadA, new ListOverdueRecords(), Ct);

        listed.Rows.ShouldContain(new OverdueRecordRow(over.Id, over.Code, StoreFixture.Day("2020-11-25")));
        listed.Rows.ShouldNotContain(row => row.ChildId == notYet.Id);
        await DestroyAsync(store.LeadA, over, DestructionReason.FamilyAsked);
        await DestroyAsync(store.LeadA, notYet, DestructionReason.FamilyAsked);
    }

    private Task<IReadOnlyList<Domain.Refusal>> DestroyAsync(Actor actor, Child child, DestructionReason? reason, string? code = null) =>
        new DestroyChildHandler(store.Db, store.Time).HandleAsync(actor, new DestroyChild(child.Id, code ?? child.Code, reason), Ct);

    private Task<TombstoneView?> TombstoneAsync(Actor actor, Guid childId) =>
        new GetTombstoneHandler(store.Db).HandleAsync(actor, new GetTombstone(childId), Ct);

    /// <summary>A closed case with a row in every table that hangs on a child, each with the note in it that can hold one.</summary>
    private async Task<Child> AddWholeRecordAsync(string closedOn, Actor? clinician = null)
    {
        await using var context = store.ContextA();
        var child = new Child
        {
            ProgrammeId = store.ProgrammeA,
            Id = StoreFixture.NewId(),
            Code = await ChildCodes.NextAsync(context, Ct),
            GivenName = GivenName,
            FamilyName = FamilyName,
            BornOn = _bornOn,
            GestationDays = 280,
            EnrolledOn = StoreFixture.Day("2019-05-02"),
            ClinicianId = clinician?.ClinicianId,
            Note = Note,
            ClosedOn = StoreFixture.Day(closedOn),
            ClosingReason = $"{GivenName} moved away",
            CreatedAt = StoreFixture.NoonAt,
            UpdatedAt = StoreFixture.NoonAt,
        };
        context.Add(child);
        var old = AddFinding(context, child, null);
        context.Add(old);
        await context.SaveChangesAsync(Ct);
        context.Add(AddFinding(context, child, old.Id));
        context.AddRange(
            new RecordedExclusion
            {
                ProgrammeId = store.ProgrammeA,
                Id = StoreFixture.NewId(),
                ChildId = child.Id,
                Exclusion = Enum.GetValues<Exclusion>()[0],
                FromOn = StoreFixture.Day("2019-06-01"),
                Note = Note,
            },
            new RecordedConcern
            {
                ProgrammeId = store.ProgrammeA,
                Id = StoreFixture.NewId(),
                ChildId = child.Id,
                Concern = "rolling",
                RecordedOn = StoreFixture.Day("2019-06-01"),
                Note = Note,
            },
            new VisitDraft
            {
                ProgrammeId = store.ProgrammeA,
                VisitId = old.VisitId,
                Form = $$"""{"note":"{{Note}}"}""",
                UpdatedAt = StoreFixture.NoonAt,
            }
        );
        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);
        await _steps.AddReachAsync(store.LeadA, child.Id, $"Visit of {FamilyName} today", StoreFixture.NoonAt);
        return child;
    }

    private RecordedFinding AddFinding(CaseloadDbContext context, Child child, Guid? corrects)
    {
        var visit = new Visit
        {
            ProgrammeId = store.ProgrammeA,
            Id = StoreFixture.NewId(),
            ChildId = child.Id,
            VisitedOn = StoreFixture.Day("2019-07-01"),
            StartedAt = StoreFixture.NoonAt,
            FinishedAt = StoreFixture.NoonAt,
            Note = Note,
        };
        context.Add(visit);
        var finding = new Finding(
            StoreFixture.NewId(),
            "moro",
            StoreFixture.Day("2019-07-01"),
            Side.Both,
            corrects is null ? Response.Typical : Response.Weak,
            BehaviouralState.QuietAlert
        )
        {
            Note = Note,
            Corrects = corrects,
            CorrectionReason = corrects is null ? null : $"{GivenName} was asleep",
        };
        return RecordedFinding.From(finding, visit, StoreFixture.NoonAt, null, "published@1");
    }

    /// <summary>The tables in which any row holds the text, whatever the column; asked as the owner, whom no row policy binds.</summary>
    private async Task<string[]> TablesWithAsync(string text)
    {
        await using var connection = new NpgsqlConnection(store.Database.OwnerConnectionString);
        await connection.OpenAsync(Ct);
        var tables = new List<string>();
        await using (
            var list = new NpgsqlCommand("select tablename from pg_tables where schemaname = 'public' order by tablename", connection)
        )
        await using (var names = await list.ExecuteReaderAsync(Ct))
        {
            while (await names.ReadAsync(Ct))
            {
                tables.Add(names.GetString(0));
            }
        }
        tables.Count.ShouldBeGreaterThan(15);
        var found = new List<string>();
        foreach (var table in tables)
        {
            await using var search = new NpgsqlCommand(
                $"select exists (select from {new NpgsqlCommandBuilder().QuoteIdentifier(table)} as any_row where any_row::text ilike $1)",
                connection
            )
            {
                Parameters = { new() { Value = $"%{text}%" } },
            };
            if ((bool)(await search.ExecuteScalarAsync(Ct))!)
            {
                found.Add(table);
            }
        }
        return [.. found];
    }
}
