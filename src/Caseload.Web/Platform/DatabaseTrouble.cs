using System.Data.Common;

namespace Caseload.Web.Platform;

/// <summary>Tells a database that cannot be reached from a mistake of ours.</summary>
public static class DatabaseTrouble
{
    /// <summary>Whether the failure is the database's; EF wraps what it takes for passing.</summary>
    public static bool IsBehind(Exception? failure) => failure is DbException or InvalidOperationException { InnerException: DbException };
}
