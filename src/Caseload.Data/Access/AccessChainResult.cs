using System.Globalization;

namespace Caseload.Data.Access;

/// <summary>What can be wrong with a programme's access record.</summary>
public enum AccessChainFault
{
    /// <summary>The row that says where the record begins and ends is gone.</summary>
    HeadMissing,

    /// <summary>The entry's content is not the one that was sealed.</summary>
    ContentAltered,

    /// <summary>An entry between others is gone.</summary>
    EntryMissing,

    /// <summary>The newest entries are gone.</summary>
    NewestMissing,

    /// <summary>The entry does not name the hash of the entry before it.</summary>
    LinkBroken,

    /// <summary>Two entries have one number.</summary>
    NumberTwice,

    /// <summary>An entry has a number beyond the newest one that was sealed.</summary>
    AfterTheHead,

    /// <summary>An entry was put in without being numbered and sealed.</summary>
    Unsealed,
}

/// <summary>The first thing found wrong.</summary>
/// <param name="Fault">What is wrong.</param>
/// <param name="Number">The place in the record; null for an entry that has none.</param>
/// <param name="EntryId">The entry; null when it is gone.</param>
public sealed record BrokenEntry(AccessChainFault Fault, long? Number, Guid? EntryId)
{
    /// <summary>What is wrong, in words and without personal data.</summary>
    public string InWords =>
        Fault switch
        {
            AccessChainFault.HeadMissing => "The note of where the record begins and ends is gone.",
            AccessChainFault.ContentAltered => $"Entry {Digits} was altered after it was sealed.",
            AccessChainFault.EntryMissing => $"Entry {Digits} is missing.",
            AccessChainFault.NewestMissing => $"The newest entries are missing, from {Digits} on.",
            AccessChainFault.LinkBroken => $"Entry {Digits} does not follow from the one before it: one of the two was replaced.",
            AccessChainFault.NumberTwice => $"Entry {Digits} exists twice.",
            AccessChainFault.AfterTheHead => $"Entry {Digits} was put in after the newest sealed entry.",
            _ => $"An entry was put in without being sealed: {EntryId}.",
        };

    private string Digits => Number?.ToString(CultureInfo.InvariantCulture) ?? "without a number";
}

/// <summary>The outcome of verifying a programme's access record.</summary>
/// <param name="EntryCount">How many entries were found good before the end or the first fault.</param>
/// <param name="FirstNumber">The number at which the record begins.</param>
/// <param name="NewestNumber">The number of the last good entry.</param>
/// <param name="NewestHash">
/// The hash of the last good entry, in hexadecimal digits. Whoever notes it outside the database can tell later that not even the owner of the
/// database wrote the record anew up to there.
/// </param>
/// <param name="Broken">The first thing found wrong; null when the record is intact.</param>
public sealed record AccessChainResult(long EntryCount, long FirstNumber, long NewestNumber, string NewestHash, BrokenEntry? Broken)
{
    /// <summary>Whether nothing is wrong.</summary>
    public bool IsIntact => Broken is null;
}
