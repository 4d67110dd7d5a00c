using System.Globalization;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Children;

/// <summary>The last number given to a child of a programme.</summary>
/// <remarks>A row of its own, so that adding a child does not look like an edit of the programme.</remarks>
public sealed class ChildCodeCounter : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The last number given; gaps are possible, repeats are not.</summary>
    public required int LastNumber { get; set; }
}

/// <summary>Hands out the short codes of children.</summary>
public static class ChildCodes
{
    /// <summary>The next code of the context's programme. A code taken for a child that is then not saved stays unused.</summary>
    public static async Task<string> NextAsync(CaseloadDbContext context, CancellationToken ct)
    {
        var numbers = await context
            .Database.SqlQuery<int>(
                $"""
                insert into child_code_counters as counter (programme_id, last_number) values ({context.ProgrammeId}, 1)
                on conflict (programme_id) do update set last_number = counter.last_number + 1
                returning last_number
                """
            )
            .ToListAsync(ct);
        return Format(numbers[0]);
    }

    /// <summary>A number as a code.</summary>
    public static string Format(int number) => string.Create(CultureInfo.InvariantCulture, $"K-{number:000}");
}
