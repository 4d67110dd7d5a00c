using Caseload.Data.Setup;
using Caseload.Integration.Tests;
using Caseload.Integration.Tests.Store;
using Caseload.Testing;

// Many wait for servers and jobs more than they work: one more than there are cores keeps both busy.
[assembly: Xunit.v3.Parallelization(MaxThreads = 3)]
[assembly: AssemblyFixture(typeof(MigratedPostgres))]

namespace Caseload.Integration.Tests;

/// <summary>The run's server, with the migrated schema and the application's grants as the template.</summary>
public sealed class MigratedPostgres() : PostgresFixture(MigrateAsync)
{
    private static async Task MigrateAsync(string ownerConnectionString)
    {
        await DatabaseSetup.MigrateAsync(ownerConnectionString);
        await DatabaseSetup.EnsureAppRoleGrantsAsync(ownerConnectionString, StoreFixture.AppRole);
    }
}
