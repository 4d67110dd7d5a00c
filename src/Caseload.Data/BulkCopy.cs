using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Npgsql;

namespace Caseload.Data;

/// <summary>Adds many rows at once with COPY, past the change tracker, within the context's open transaction.</summary>
public static class BulkCopy
{
    /// <summary>Adds rows of the context's programme; a row of another is refused before anything is sent.</summary>
    public static async Task CopyAsync<T>(this CaseloadDbContext context, IReadOnlyCollection<T> rows, CancellationToken ct)
        where T : class, IProgrammeOwned
    {
        if (rows.FirstOrDefault(row => row.ProgrammeId != context.ProgrammeId) is { } foreign)
        {
            throw new ForeignProgrammeException(typeof(T).Name, foreign.ProgrammeId, context.ProgrammeId);
        }
        var type = context.Model.FindEntityType(typeof(T))!;
        var table = StoreObjectIdentifier.Create(type, StoreObjectType.Table)!.Value;
        var columns = type.GetProperties()
            .Where(property => !property.IsConcurrencyToken)
            .Select(property => new Column(property, table))
            .ToArray();
        var names = string.Join(", ", columns.Select(column => column.Name));

        var connection = (NpgsqlConnection)context.Database.GetDbConnection();
        await using var copy = await connection.BeginBinaryImportAsync($"copy {table.Name} ({names}) from stdin (format binary)", ct);
        foreach (var row in rows)
        {
            await copy.StartRowAsync(ct);
            foreach (var column in columns)
            {
                if (column.ValueOf(row) is { } value)
                {
                    await copy.WriteAsync(value, column.TypeName, ct);
                }
                else
                {
                    await copy.WriteNullAsync(ct);
                }
            }
        }
        await copy.CompleteAsync(ct);
    }

    private sealed class Column(IProperty property, StoreObjectIdentifier table)
    {
        private readonly Func<object?, object?>? _convert = property.GetRelationalTypeMapping().Converter?.ConvertToProvider;

        internal string Name { get; } = property.GetColumnName(table)!;

        internal string TypeName { get; } = property.GetRelationalTypeMapping().StoreTypeNameBase;

        internal object? ValueOf(object row)
        {
            var value = property.GetGetter().GetClrValue(row);
            return value is null || _convert is null ? value : _convert(value);
        }
    }
}
