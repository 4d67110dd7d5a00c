using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Ages;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>What the list is sorted by.</summary>
public enum ChildSort
{
    /// <summary>Worst status first.</summary>
    Concern,

    /// <summary>Family name.</summary>
    Name,

    /// <summary>Date of birth, youngest first.</summary>
    Age,

    /// <summary>Next check, soonest first.</summary>
    NextCheck,
}

/// <summary>Asks for a page of children.</summary>
/// <param name="Search">Part of a name or code; null for all.</param>
/// <param name="ClinicianId">One clinician's children; null for all.</param>
/// <param name="IncludesClosed">Whether closed cases are listed as well.</param>
/// <param name="Sort">The order.</param>
/// <param name="IsReversed">Whether the order is turned round.</param>
/// <param name="Page">The page, from 0.</param>
public sealed record ListChildren(string? Search, Guid? ClinicianId, bool IncludesClosed, ChildSort Sort, bool IsReversed, int Page);

/// <summary>A child in the list.</summary>
/// <param name="Id">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">Family name first, as lists do.</param>
/// <param name="BornOn">Date of birth.</param>
/// <param name="Age">The age to put first.</param>
/// <param name="Clinician">Who is responsible.</param>
/// <param name="NextCheckOn">The last day of the next check.</param>
/// <param name="IsOverdue">Whether that has gone by.</param>
/// <param name="Worst">The most urgent status; null when all is as expected.</param>
/// <param name="FurtherConcerns">How many further items need attention.</param>
/// <param name="IsClosed">Whether the case is closed.</param>
public sealed record ChildRow(
    Guid Id,
    string Code,
    string Name,
    DateOnly BornOn,
    string Age,
    string? Clinician,
    DateOnly? NextCheckOn,
    bool IsOverdue,
    WorstStatus? Worst,
    int FurtherConcerns,
    bool IsClosed
);

/// <summary>The most urgent status of a child.</summary>
/// <param name="ItemName">The item.</param>
/// <param name="State">The state.</param>
/// <param name="Step">1 or 2 for persisting and late.</param>
/// <param name="IsConfirmed">Whether an absence is confirmed.</param>
/// <param name="Concern">How much attention it asks for.</param>
public sealed record WorstStatus(string ItemName, ItemState State, int Step, bool IsConfirmed, Concern Concern);

/// <summary>A page of children.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Rows">The page.</param>
/// <param name="TotalCount">How many there are in all pages.</param>
/// <param name="Clinicians">Clinicians to filter by.</param>
public sealed record ChildList(DateOnly TodayOn, IReadOnlyList<ChildRow> Rows, int TotalCount, IReadOnlyList<ClinicianChoice> Clinicians);

/// <summary>Lists children.</summary>
public sealed class ListChildrenHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>Children on a page.</summary>
    public const int PageSize = 50;

    /// <summary>The page.</summary>
    public async Task<ChildList> HandleAsync(Actor actor, ListChildren request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);

        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var interpreter = await library.GetActiveAsync(context, ct);
        var matching = Matching(context, request);
        var total = await matching.CountAsync(ct);
        var children = await Sorted(matching, request)
            .Skip(request.Page * PageSize)
            .Take(PageSize)
            .Select(child => new
            {
                child.Id,
                child.Code,
                child.GivenName,
                child.FamilyName,
                child.BornOn,
                child.GestationDays,
                child.ClosedOn,
                Clinician = child.Clinician == null ? null : child.Clinician.Name,
                NextCheckOn = child.Statuses.Min(row => row.CheckThroughOn),
                Statuses = child.Statuses.Where(row => row.Concern > Concern.None).ToList(),
            })
            .AsSplitQuery()
            .ToListAsync(ct);
        await context.RecordLookAsync(
            "children-listed",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", children.Select(child => child.Id))
        );
        var clinicians = await context.ListClinicianChoicesAsync(ct);

        var rows = children.Select(child =>
        {
            var ages = ChildAges.Of(
                BirthFacts.Restore(child.BornOn, child.GestationDays),
                todayOn < child.BornOn ? child.BornOn : todayOn,
                interpreter.Policy
            );
            var worst = child.Statuses.OrderByDescending(row => row.Concern).ThenBy(row => row.SinceOn).FirstOrDefault();
            return new ChildRow(
                child.Id,
                child.Code,
                $"{child.FamilyName}, {child.GivenName}",
                child.BornOn,
                Dates.Leading(ages),
                child.Clinician,
                child.NextCheckOn,
                child.NextCheckOn < todayOn,
                worst is null
                    ? null
                    : new WorstStatus(
                        interpreter.Set.Find(worst.Item)?.Name ?? worst.Item,
                        worst.State,
                        worst.Step,
                        worst.IsConfirmed,
                        worst.Concern
                    ),
                child.Statuses.Count(row => row.Concern >= Concern.Advisory) - (worst?.Concern >= Concern.Advisory ? 1 : 0),
                child.ClosedOn is not null
            );
        });
        return new ChildList(todayOn, [.. rows], total, clinicians);
    }

    private static IQueryable<Child> Matching(CaseloadDbContext context, ListChildren request)
    {
        var children = context.Children.AsNoTracking();
        if (!request.IncludesClosed)
        {
            children = children.Where(child => child.ClosedOn == null);
        }
        if (request.ClinicianId is { } clinicianId)
        {
            children = children.Where(child => child.ClinicianId == clinicianId);
        }
        if (!string.IsNullOrWhiteSpace(request.Search))
        {
            var pattern =
                "%"
                + request
                    .Search.Trim()
                    .Replace("\\", "\\\\", StringComparison.Ordinal)
                    .Replace("%", "\\%", StringComparison.Ordinal)
                    .Replace("_", "\\_", StringComparison.Ordinal)
                + "%";
            children = children.Where(child =>
                EF.Functions.ILike(child.GivenName + " " + child.FamilyName + ", " + child.GivenName + " " + child.Code, pattern)
            );
        }
        return children;
    }

    private static IOrderedQueryable<Child> Sorted(IQueryable<Child> children, ListChildren request) =>
        (request.Sort, request.IsReversed) switch
        {
            (ChildSort.Name, false) => children
                .OrderBy(child => child.FamilyName)
                .ThenBy(child => child.GivenName)
                .ThenBy(child => child.Id),
            (ChildSort.Name, true) => children
                .OrderByDescending(child => child.FamilyName)
                .ThenByDescending(child => child.GivenName)
                .ThenBy(child => child.Id),
            (ChildSort.Age, false) => children.OrderByDescending(child => child.BornOn).ThenBy(child => child.Id),
            (ChildSort.Age, true) => children.OrderBy(child => child.BornOn).ThenBy(child => child.Id),
            (ChildSort.NextCheck, false) => children
                .OrderBy(child => child.Statuses.Min(row => row.CheckThroughOn))
                .ThenBy(child => child.Id),
            (ChildSort.NextCheck, true) => children
                .OrderByDescending(child => child.Statuses.Max(row => row.CheckThroughOn))
                .ThenBy(child => child.Id),
            (_, false) => children
                .OrderByDescending(child => child.Statuses.Max(row => row.Concern))
                .ThenBy(child => child.Statuses.Min(row => row.CheckThroughOn))
                .ThenBy(child => child.Id),
            (_, true) => children.OrderBy(child => child.Statuses.Max(row => row.Concern)).ThenBy(child => child.Id),
        };
}
