using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;

namespace Caseload.Data;

/// <summary>Refuses, before anything is sent, what the database would refuse or could not notice. A refusal is a bug, hence it throws.</summary>
internal static class SaveGuard
{
    internal static void Check(ChangeTracker tracker, Guid programmeId)
    {
        var entries = tracker
            .Entries<IProgrammeOwned>()
            .Where(entry => entry.State is EntityState.Added or EntityState.Modified or EntityState.Deleted)
            .ToList();
        foreach (var entry in entries)
        {
            if (programmeId == Guid.Empty || entry.Entity.ProgrammeId != programmeId)
            {
                throw new ForeignProgrammeException(entry.Metadata.ClrType.Name, entry.Entity.ProgrammeId, programmeId);
            }
            if (entry.Entity is IKeptByDatabase || (entry.State != EntityState.Added && entry.Entity is IAppendOnly))
            {
                throw new InvalidOperationException($"{entry.Metadata.ClrType.Name} rows are never changed; add a new one.");
            }
        }
    }
}

/// <summary>A row of another programme was about to be saved.</summary>
public sealed class ForeignProgrammeException : InvalidOperationException
{
    /// <summary>An exception without particulars.</summary>
    public ForeignProgrammeException() { }

    /// <summary>An exception with a message.</summary>
    public ForeignProgrammeException(string message)
        : base(message) { }

    /// <summary>An exception with a message and a cause.</summary>
    public ForeignProgrammeException(string message, Exception innerException)
        : base(message, innerException) { }

    internal ForeignProgrammeException(string type, Guid rowProgrammeId, Guid programmeId)
        : base($"A {type} row of programme {rowProgrammeId} cannot be saved for programme {programmeId}.") { }
}
