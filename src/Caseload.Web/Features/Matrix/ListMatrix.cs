using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Ages;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Matrix;

/// <summary>Asks where every child stands on every item.</summary>
/// <param name="ClinicianId">One clinician's children; null for all.</param>
/// <param name="Zone">One travel zone's; null for all.</param>
/// <param name="State">Only children with an item in this state; null for all.</param>
/// <param name="Band">One age band's; null for all.</param>
public sealed record ListMatrix(Guid? ClinicianId, string? Zone, ItemState? State, AgeBand? Band);

/// <summary>A column of the matrix.</summary>
/// <param name="Id">The item's id.</param>
/// <param name="Name">Its name.</param>
public sealed record MatrixItem(string Id, string Name);

/// <summary>A cell: where a child stands on an item.</summary>
/// <param name="State">The state.</param>
/// <param name="Step">1 or 2 for persisting and late.</param>
/// <param name="IsConfirmed">Whether an absence is confirmed.</param>
/// <param name="Concern">How much attention it asks for.</param>
public readonly record struct MatrixCell(ItemState State, int Step, bool IsConfirmed, Concern Concern);

/// <summary>A row of the matrix.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">Its name.</param>
/// <param name="Age">The age to put first.</param>
/// <param name="Clinician">The clinician's initials; null without one.</param>
/// <param name="Cells">One for each column; null where nothing has been worked out.</param>
public sealed record MatrixRow(Guid ChildId, string Code, string Name, string Age, string? Clinician, IReadOnlyList<MatrixCell?> Cells)
{
    /// <summary>How much attention the row asks for: the most severe cell, then how many there are.</summary>
    public (Concern Worst, int Count) Urgency =>
        (Cells.Max(cell => cell?.Concern ?? Concern.None), Cells.Count(cell => cell?.Concern >= Concern.Advisory));
}

/// <summary>Children against items.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Items">The columns.</param>
/// <param name="Rows">The rows, those that ask for most attention first.</param>
/// <param name="Clinicians">Clinicians to filter by.</param>
/// <param name="Zones">Zones to filter by.</param>
/// <param name="SetKey">The reference set that the states rest on.</param>
public sealed record MatrixView(
    DateOnly TodayOn,
    IReadOnlyList<MatrixItem> Items,
    IReadOnlyList<MatrixRow> Rows,
    IReadOnlyList<ClinicianChoice> Clinicians,
    IReadOnlyList<string> Zones,
    string SetKey
);

/// <summary>Lists children against items.</summary>
public sealed class ListMatrixHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The matrix.</summary>
    public async Task<MatrixView> HandleAsync(Actor actor, ListMatrix request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var interpreter = await library.GetActiveAsync(context, ct);
        var items = interpreter.Set.Items;
        var columns = items.Select((item, index) => (item.Id, index)).ToDictionary(pair => pair.Id, pair => pair.index);
        var open = context.Children.AsNoTracking().Where(child => child.ClosedOn == null);
        var wanted = open.Where(child => request.ClinicianId == null || child.ClinicianId == request.ClinicianId)
            .Where(child => request.Zone == null || child.Zone == request.Zone)
            .Where(child => request.State == null || child.Statuses.Any(row => row.State == request.State));
        var children = await wanted
            .OrderBy(child => child.Code)
            .Select(child => new
            {
                child.Id,
                child.Code,
                child.GivenName,
                child.FamilyName,
                child.BornOn,
                child.GestationDays,
                Clinician = child.Clinician == null ? null : child.Clinician.Initials,
            })
            .ToListAsync(ct);
        var rows = new List<MatrixRow>(children.Count);
        var cells = new Dictionary<Guid, MatrixCell?[]>(children.Count);
        foreach (var child in children)
        {
            var ages = ChildAges.Of(BirthFacts.Restore(child.BornOn, child.GestationDays), todayOn, interpreter.Policy);
            if (request.Band is { } band && AgeBands.Of(ages) != band)
            {
                continue;
            }
            cells[child.Id] = new MatrixCell?[items.Count];
            rows.Add(
                new MatrixRow(
                    child.Id,
                    child.Code,
                    $"{child.FamilyName}, {child.GivenName}",
                    Dates.Leading(ages),
                    child.Clinician,
                    cells[child.Id]
                )
            );
        }
        await FillAsync(context.ItemStatuses.Where(row => wanted.Any(child => child.Id == row.ChildId)), cells, columns, ct);
        await context.RecordLookAsync(
            "matrix-listed",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", rows.Select(row => row.ChildId))
        );
        return new MatrixView(
            todayOn,
            [.. items.Select(item => new MatrixItem(item.Id, item.Name))],
            [.. rows.OrderByDescending(row => row.Urgency.Worst).ThenByDescending(row => row.Urgency.Count)],
            await context.ListClinicianChoicesAsync(ct),
            await open.Where(child => child.Zone != null).Select(child => child.Zone!).Distinct().OrderBy(zone => zone).ToListAsync(ct),
            interpreter.Set.Key
        );
    }

    /// <summary>Puts the stored statuses into the rows.</summary>
    private static async Task FillAsync(
        IQueryable<ItemStatus> stored,
        Dictionary<Guid, MatrixCell?[]> cells,
        Dictionary<string, int> columns,
        CancellationToken ct
    )
    {
        var statuses = stored
            .AsNoTracking()
            .Select(row => new
            {
                row.ChildId,
                row.Item,
                row.State,
                row.Step,
                row.IsConfirmed,
                row.Concern,
            })
            .AsAsyncEnumerable();
        await foreach (var row in statuses.WithCancellation(ct))
        {
            if (cells.TryGetValue(row.ChildId, out var line) && columns.TryGetValue(row.Item, out var column))
            {
                line[column] = new MatrixCell(row.State, row.Step, row.IsConfirmed, row.Concern);
            }
        }
    }
}
