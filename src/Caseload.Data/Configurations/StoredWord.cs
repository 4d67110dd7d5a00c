using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;
using Microsoft.EntityFrameworkCore.Metadata.Builders;
using Microsoft.EntityFrameworkCore.Storage.ValueConversion;

namespace Caseload.Data.Configurations;

/// <summary>Stores an enumerated term as the word that files and the command line use, so that the database reads like them.</summary>
internal sealed class StoredWord<T>() : ValueConverter<T, string>(value => value.ToWord(), word => Read(word))
    where T : struct, Enum
{
    private static T Read(string word) =>
        EnumWords.FromWord<T>(word) ?? throw new InvalidDataException($"Unknown {typeof(T).Name}: {word}");
}

/// <summary>Stores a short list of terms as an array of words.</summary>
internal static class WordLists
{
    internal static ValueConverter<IReadOnlyList<T>, string[]> Of<T>(Func<T, string> toWord, Func<string, T> fromWord) =>
        new(values => values.Select(toWord).ToArray(), words => words.Select(fromWord).ToArray());

    internal static ValueComparer<IReadOnlyList<T>> Comparer<T>() =>
        new(
            (left, right) => left!.SequenceEqual(right!),
            values => values.Aggregate(0, (hash, value) => HashCode.Combine(hash, value)),
            values => values.ToArray()
        );
}

/// <summary>What configurations say in the same way.</summary>
internal static class TableChecks
{
    /// <summary>Only the words of the enumeration.</summary>
    internal static void HasWords<TEntity, T>(this TableBuilder<TEntity> table, string name, string column)
        where TEntity : class
        where T : struct, Enum =>
        table.HasCheckConstraint(name, $"{column} in ({string.Join(", ", Enum.GetValues<T>().Select(value => $"'{value.ToWord()}'"))})");

    /// <summary>Postgres' own row version.</summary>
    internal static void HasRowVersion<TEntity>(this EntityTypeBuilder<TEntity> row)
        where TEntity : class => row.Property<uint>("RowVersion").IsRowVersion().HasColumnName("xmin");
}
