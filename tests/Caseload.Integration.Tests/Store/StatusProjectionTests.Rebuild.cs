using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using CsCheck;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Store;

public sealed partial class StatusProjectionTests
{
    private static readonly string[] _watchedItems = ["moro", "palmar_grasp", "stnr", "landau", "protective_forward", "startle"];

    /// <summary>Something that happens to a child's record, some days after what happened before.</summary>
    private sealed record Happening(int Kind, int DaysLater, int Item, int Side, int Grade, int State, int Target);

    private static readonly Gen<Happening> _happening = Gen.Select(
        Gen.Frequency(
            (6, Gen.Const(0)),
            (1, Gen.Const(1)),
            (1, Gen.Const(2)),
            (3, Gen.Const(3)),
            (1, Gen.Const(4)),
            (2, Gen.Const(5)),
            (1, Gen.Const(6)),
            (1, Gen.Const(7))
        ),
        Gen.Int[0, 60],
        Gen.Int[0, _watchedItems.Length - 1],
        Gen.Int[0, 2],
        Gen.Int[0, 4],
        Gen.Int[-1, 5],
        Gen.Int[0, 1000],
        (kind, daysLater, item, side, grade, state, target) => new Happening(kind, daysLater, item, side, grade, state, target)
    );

    [Fact]
    public async Task Rebuild_AfterAnyHistory_GivesTheRowsThatWereKeptAlong() =>
        await Gen.Select(Gen.Int[0, 500], Gen.Int[149, 300], _happening.Array[1, 14])
            .SampleAsync(
                async (ageDays, gestationDays, happenings) =>
                {
                    var programmeId = StoreFixture.NewId();
                    await store.Db.CreateProgrammeAsync(programmeId, "Random", "America/Chicago", StoreFixture.NoonAt, Ct);
                    var on = StoreFixture.TodayOn;
                    Guid childId;
                    await using (var context = store.Db.ForJob("test", programmeId))
                    {
                        childId = (
                            await StoreFixture.AddChildAsync(context, on.AddDays(-ageDays), gestationDays < 150 ? null : gestationDays)
                        ).Id;
                        await store.Statuses.RewriteAsync(context, childId, on, Ct);
                        await context.SaveChangesAsync(Ct);
                    }

                    foreach (var happening in happenings)
                    {
                        on = on.AddDays(happening.DaysLater);
                        await HappenAsync(programmeId, childId, happening, on);
                    }
                    await store.Statuses.RefreshDueAsync(programmeId, on, Ct);

                    (await store.Statuses.CompareAsync(programmeId, on, null, Ct)).ShouldBe(new DriftCounts(1, 37, 0, 0));
                    var keptAlong = await ReadAsync(programmeId);
                    await using var rebuild = store.Db.ForJob("test", programmeId);
                    await rebuild.ItemStatuses.ExecuteDeleteAsync(Ct);
                    (await store.Statuses.RebuildAsync(rebuild, on, Ct)).ShouldBe(1);
                    (await ReadAsync(programmeId)).ShouldBe(keptAlong);
                    (await store.Statuses.CompareAsync(programmeId, on, null, Ct)).IsClean.ShouldBeTrue();
                },
                iter: 25,
                threads: 1
            );

    private async Task HappenAsync(Guid programmeId, Guid childId, Happening happening, DateOnly on)
    {
        if (happening.Kind == 3)
        {
            await store.Statuses.RefreshDueAsync(programmeId, on, Ct);
            return;
        }
        await using var context = store.Db.ForJob("test", programmeId);
        var child = await context.Children.SingleAsync(row => row.Id == childId, Ct);
        if (happening.Kind == 4)
        {
            child.GestationDays = 150 + happening.Target % 150;
            child.UpdatedAt = StoreFixture.NoonAt;
        }
        else if (happening.Kind == 5)
        {
            context.Add(
                new RecordedExclusion
                {
                    ProgrammeId = programmeId,
                    Id = StoreFixture.NewId(),
                    ChildId = childId,
                    Exclusion = (Exclusion)(happening.Target % Enum.GetValues<Exclusion>().Length),
                    FromOn = on.AddDays(happening.Item * 9),
                    ThroughOn = happening.Side == 0 ? null : on.AddDays(happening.Item * 9 + happening.Side * 20),
                }
            );
        }
        else if (happening.Kind == 6)
        {
            var sign = (UrgentSign)(happening.Item % Enum.GetValues<UrgentSign>().Length);
            if (await context.Signs.SingleOrDefaultAsync(row => row.Sign == sign && row.SettledOn == null, Ct) is { } standing)
            {
                standing.SettledOn = on;
            }
            else
            {
                context.Add(
                    new RecordedSign
                    {
                        ProgrammeId = programmeId,
                        Id = StoreFixture.NewId(),
                        ChildId = childId,
                        Sign = sign,
                        SeenOn = on,
                    }
                );
            }
        }
        else if (happening.Kind == 7)
        {
            child.ClosedOn = happening.Side == 0 ? on.AddDays(30) : null;
            child.ClosingReason = happening.Side == 0 ? "Moves away" : null;
        }
        else
        {
            await AddFindingAsync(context, child, happening, on);
        }
        await store.Statuses.RewriteAsync(context, childId, on, Ct);
        await context.SaveChangesAsync(Ct);
    }

    private static async Task AddFindingAsync(CaseloadDbContext context, Child child, Happening happening, DateOnly on)
    {
        var item = ReferenceSets.Default.Find(_watchedItems[happening.Item])!;
        var finding = new Finding(
            StoreFixture.NewId(),
            item.Id,
            on,
            item.Sided == Sidedness.None ? Side.Both : (Side)happening.Side,
            item.Responses[happening.Grade % item.Responses.Count],
            happening.State < 0 ? null : (BehaviouralState)happening.State
        );
        var corrected = await context.Findings.Where(row => row.CorrectsId != null).Select(row => row.CorrectsId!.Value).ToListAsync(Ct);
        var open = await context.Findings.AsNoTracking().Where(row => !corrected.Contains(row.Id)).OrderBy(row => row.Id).ToListAsync(Ct);
        if (happening.Kind > 0 && open.Count > 0)
        {
            var wrong = open[happening.Target % open.Count];
            finding = finding with { Corrects = wrong.Id, CorrectionReason = "Entered wrongly", ObservedOn = wrong.ObservedOn };
            if (happening.Kind == 2)
            {
                finding = finding with { IsWithdrawal = true, Response = null, State = null };
            }
        }
        var kept = Finding.Check(finding, ReferenceSets.Default, child.BornOn, on).Value;
        var visit = new Visit
        {
            ProgrammeId = child.ProgrammeId,
            Id = StoreFixture.NewId(),
            ChildId = child.Id,
            VisitedOn = on,
            StartedAt = StoreFixture.NoonAt,
            FinishedAt = StoreFixture.NoonAt,
        };
        context.Add(visit);
        context.Add(RecordedFinding.From(kept, visit, StoreFixture.NoonAt, null, ReferenceSets.Default.Key));
    }

    /// <summary>Everything a row says; not the day it was computed for, which a row that did not change keeps.</summary>
    private async Task<List<string>> ReadAsync(Guid programmeId)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        var rows = await context.ItemStatuses.AsNoTracking().OrderBy(row => row.Item).ToListAsync(Ct);
        return [.. rows.Select(Describe)];
    }

    private static string Describe(ItemStatus row) =>
        string.Join(
            ' ',
            row.Item,
            row.State,
            row.Step,
            row.IsConfirmed,
            row.SinceOn,
            row.Concern,
            row.ExpectedFromOn,
            row.UsualFromOn,
            row.UsualThroughOn,
            row.LatestThroughOn,
            row.CheckFromOn,
            row.CheckThroughOn,
            row.CheckPurpose,
            row.NextChangeOn,
            row.SetKey
        );
}
