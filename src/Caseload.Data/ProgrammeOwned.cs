namespace Caseload.Data;

/// <summary>A row that belongs to one programme; filtered on reading and refused on saving when the programme is another.</summary>
public interface IProgrammeOwned
{
    /// <summary>The programme.</summary>
    Guid ProgrammeId { get; }
}

/// <summary>A row that is written once: the application's role may neither change nor delete it, and the context refuses to try.</summary>
public interface IAppendOnly;

/// <summary>A row that only the database itself writes; the application's role may read it.</summary>
public interface IKeptByDatabase;

/// <summary>How long texts may be; forms use the same numbers.</summary>
public static class TextLimits
{
    /// <summary>Names of people and programmes.</summary>
    public const int Name = 120;

    /// <summary>Notes of every kind, and reasons.</summary>
    public const int Note = 2000;

    /// <summary>A place, a technique variant, the reason for closing.</summary>
    public const int Line = 200;

    /// <summary>A clinician's initials.</summary>
    public const int Initials = 6;

    /// <summary>Item ids, concern ids, reference set names and versions.</summary>
    public const int Key = 80;

    /// <summary>E-mail addresses, sign-in names and what an identity provider calls a person.</summary>
    public const int Address = 254;

    /// <summary>Words of an enumeration.</summary>
    public const int Word = 40;
}
