using System.Data;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Data.Access;

/// <summary>Verifies a programme's access record without the database's own functions, so that changing those would not hide anything.</summary>
/// <remarks>
/// Each entry's hash is SHA-256 over its text, which holds the hash of the entry before: altering, removing, adding or exchanging entries
/// shows, unless everything after it is written anew as well. Against that only a hash that was noted elsewhere helps.
/// </remarks>
public static class AccessChain
{
    private const int EntriesPerReport = 2000;

    private const string ReadHead =
        "select first_number, first_previous_hash, last_number, last_hash from access_chain_heads where programme_id = $1";

    // As the values are stored; nothing here is worked out by a function that somebody could have replaced.
    private const string ReadEntries = """
        select id, number, previous_hash, hash, at, who, person_id, sign_in_id, child_id, what, why, address, detail::text, attempt_id
        from access_entries where programme_id = $1 order by number
        """;

    /// <summary>Reads the whole record of the context's programme, one entry at a time, and stops at the first fault.</summary>
    /// <param name="context">A context for a job, or for a person who may verify the record.</param>
    /// <param name="progress">Told from time to time how far it is.</param>
    /// <param name="ct">Cancels.</param>
    public static async Task<AccessChainResult> VerifyAsync(
        CaseloadDbContext context,
        IProgress<AccessChainProgress>? progress,
        CancellationToken ct
    )
    {
        // One snapshot: entries written meanwhile belong to the next time.
        await using var transaction = await context.Database.BeginTransactionAsync(IsolationLevel.RepeatableRead, ct);
        var connection = (NpgsqlConnection)context.Database.GetDbConnection();
        if (await ReadHeadAsync(connection, context.ProgrammeId, ct) is not { } head)
        {
            return new AccessChainResult(0, 0, 0, "", new BrokenEntry(AccessChainFault.HeadMissing, null, null));
        }
        var walk = new Walk(head);
        await using var command = new NpgsqlCommand(ReadEntries, connection) { Parameters = { new() { Value = context.ProgrammeId } } };
        await using var rows = await command.ExecuteReaderAsync(ct);
        while (await rows.ReadAsync(ct))
        {
            if (walk.Take(EntryOf(rows, context.ProgrammeId)) is { } broken)
            {
                return walk.ResultWith(broken);
            }
            if (walk.Count % EntriesPerReport == 0)
            {
                progress?.Report(new AccessChainProgress(walk.Count, head.LastNumber - head.FirstNumber + 1));
            }
        }
        return walk.ResultWith(walk.End());
    }

    /// <summary>
    /// The text an entry's hash is taken over: fourteen pieces joined by <c>|</c>, in this order: number, previous hash (hexadecimal digits),
    /// programme, id, instant (microseconds since 1970-01-01T00:00Z), who, person, sign-in, child, what, why, address, detail, attempt. A
    /// piece is the length of its value in UTF-8 bytes, a colon and the value; a piece without a value is a hyphen.
    /// </summary>
    public static string TextOf(AccessEntry entry) =>
        string.Join(
            '|',
            Piece(entry.Number?.ToString(CultureInfo.InvariantCulture)),
            Piece(entry.PreviousHash is null ? null : Convert.ToHexStringLower(entry.PreviousHash)),
            Piece(entry.ProgrammeId.ToString()),
            Piece(entry.Id.ToString()),
            Piece(
                ((entry.At.UtcTicks - DateTimeOffset.UnixEpoch.Ticks) / TimeSpan.TicksPerMicrosecond).ToString(CultureInfo.InvariantCulture)
            ),
            Piece(entry.Who),
            Piece(entry.PersonId?.ToString()),
            Piece(entry.SignInId?.ToString()),
            Piece(entry.ChildId?.ToString()),
            Piece(entry.What),
            Piece(entry.Why),
            Piece(entry.Address),
            Piece(entry.Detail),
            Piece(entry.AttemptId?.ToString())
        );

    private static string Piece(string? value) =>
        value is null ? "-" : string.Create(CultureInfo.InvariantCulture, $"{Encoding.UTF8.GetByteCount(value)}:{value}");

    private static async Task<AccessChainHead?> ReadHeadAsync(NpgsqlConnection connection, Guid programmeId, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(ReadHead, connection) { Parameters = { new() { Value = programmeId } } };
        await using var row = await command.ExecuteReaderAsync(ct);
        return await row.ReadAsync(ct)
            ? new AccessChainHead
            {
                ProgrammeId = programmeId,
                FirstNumber = row.GetInt64(0),
                FirstPreviousHash = row.GetFieldValue<byte[]>(1),
                LastNumber = row.GetInt64(2),
                LastHash = row.GetFieldValue<byte[]>(3),
            }
            : null;
    }

    private static AccessEntry EntryOf(NpgsqlDataReader row, Guid programmeId) =>
        new()
        {
            ProgrammeId = programmeId,
            Id = row.GetGuid(0),
            Number = Value<long>(row, 1),
            PreviousHash = Reference<byte[]>(row, 2),
            Hash = Reference<byte[]>(row, 3),
            At = row.GetFieldValue<DateTimeOffset>(4),
            Who = row.GetString(5),
            PersonId = Value<Guid>(row, 6),
            SignInId = Value<Guid>(row, 7),
            ChildId = Value<Guid>(row, 8),
            What = row.GetString(9),
            Why = Reference<string>(row, 10),
            Address = Reference<string>(row, 11),
            Detail = row.GetString(12),
            AttemptId = Value<Guid>(row, 13),
        };

    private static T? Value<T>(NpgsqlDataReader row, int column)
        where T : struct => row.IsDBNull(column) ? null : row.GetFieldValue<T>(column);

    private static T? Reference<T>(NpgsqlDataReader row, int column)
        where T : class => row.IsDBNull(column) ? null : row.GetFieldValue<T>(column);

    /// <summary>Where the check stands: what the next entry must be.</summary>
    private sealed class Walk(AccessChainHead head)
    {
        private long _next = head.FirstNumber;
        private byte[] _previousHash = head.FirstPreviousHash;

        public long Count { get; private set; }

        /// <summary>Checks the next entry; what is wrong with it, or null.</summary>
        public BrokenEntry? Take(AccessEntry entry)
        {
            // Entries without a number come last; when the newest numbered ones are gone, that was earlier.
            if (entry.Number is not { } number)
            {
                return End() ?? new BrokenEntry(AccessChainFault.Unsealed, null, entry.Id);
            }
            if (number != _next)
            {
                return number < _next ? new BrokenEntry(AccessChainFault.NumberTwice, number, entry.Id)
                    : _next > head.LastNumber ? new BrokenEntry(AccessChainFault.AfterTheHead, number, entry.Id)
                    : new BrokenEntry(AccessChainFault.EntryMissing, _next, null);
            }
            if (number > head.LastNumber)
            {
                return new BrokenEntry(AccessChainFault.AfterTheHead, number, entry.Id);
            }
            if (entry.PreviousHash is null || !_previousHash.AsSpan().SequenceEqual(entry.PreviousHash))
            {
                return new BrokenEntry(AccessChainFault.LinkBroken, number, entry.Id);
            }
            var hash = SHA256.HashData(Encoding.UTF8.GetBytes(TextOf(entry)));
            if (entry.Hash is null || !hash.AsSpan().SequenceEqual(entry.Hash))
            {
                return new BrokenEntry(AccessChainFault.ContentAltered, number, entry.Id);
            }
            _next++;
            _previousHash = hash;
            Count++;
            return null;
        }

        /// <summary>What is wrong when no numbered entry is left, or null.</summary>
        public BrokenEntry? End() =>
            _next <= head.LastNumber ? new BrokenEntry(AccessChainFault.NewestMissing, _next, null)
            : !_previousHash.AsSpan().SequenceEqual(head.LastHash) ? new BrokenEntry(AccessChainFault.LinkBroken, head.LastNumber, null)
            : null;

        public AccessChainResult ResultWith(BrokenEntry? broken) =>
            new(Count, head.FirstNumber, _next - 1, Convert.ToHexStringLower(_previousHash), broken);
    }
}

/// <summary>How far a check of the access record is.</summary>
/// <param name="Count">Entries checked.</param>
/// <param name="Total">Entries the record should have.</param>
public sealed record AccessChainProgress(long Count, long Total);
