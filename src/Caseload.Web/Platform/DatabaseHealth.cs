using Caseload.Data;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace Caseload.Web.Platform;

/// <summary>Ready means that the database answers.</summary>
public sealed class DatabaseHealth(CaseloadDb db) : IHealthCheck
{
    /// <inheritdoc />
    public async Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        try
        {
            await db.ListProgrammesAsync(cancellationToken);
            return HealthCheckResult.Healthy();
        }
        catch (Npgsql.NpgsqlException exception)
        {
            return HealthCheckResult.Unhealthy("The database does not answer.", exception);
        }
    }
}
