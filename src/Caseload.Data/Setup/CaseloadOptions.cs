using Caseload.Data.Alerts;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Design;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Caseload.Data.Setup;

/// <summary>How the store is reached.</summary>
public static class CaseloadOptions
{
    /// <summary>The oldest server version the SQL is written for.</summary>
    private static readonly Version _postgres = new(15, 0);

    /// <summary>Registers the store: one data source, one <see cref="CaseloadDb"/>, the reference library and the status projection.</summary>
    public static IServiceCollection AddCaseloadData(this IServiceCollection services, string appConnectionString)
    {
        services.AddSingleton(_ => OpenDataSource(appConnectionString));
        services.AddSingleton(provider => new CaseloadDb(
            For(provider.GetRequiredService<NpgsqlDataSource>()),
            provider.GetRequiredService<TimeProvider>(),
            provider.GetService<ISavedListener>()
        ));
        services.AddSingleton<ReferenceLibrary>();
        services.AddSingleton<StatusProjection>();
        services.AddSingleton<AlertClock>();
        services.AddSingleton<AssignmentClock>();
        return services;
    }

    /// <summary>A data source with the settings that every connection of ours has.</summary>
    public static NpgsqlDataSource OpenDataSource(string connectionString) =>
        new NpgsqlDataSourceBuilder(Complete(connectionString)).Build();

    /// <summary>Context options on a data source.</summary>
    public static DbContextOptions<CaseloadDbContext> For(NpgsqlDataSource dataSource) =>
        new DbContextOptionsBuilder<CaseloadDbContext>()
            .UseNpgsql(dataSource, npgsql => npgsql.SetPostgresVersion(_postgres))
            .UseSnakeCaseNamingConvention()
            .AddInterceptors(new ScopeInterceptor(), new SavedInterceptor())
            .Options;

    /// <summary>Context options on a connection string; for migrations and tools, which use one connection and leave.</summary>
    public static DbContextOptions<CaseloadDbContext> For(string connectionString) =>
        new DbContextOptionsBuilder<CaseloadDbContext>()
            .UseNpgsql(Complete(connectionString), npgsql => npgsql.SetPostgresVersion(_postgres))
            .UseSnakeCaseNamingConvention()
            .Options;

    // Npgsql 10 tries GSS encryption first, which on slim images only writes noise about a missing library.
    internal static string Complete(string connectionString) =>
        new NpgsqlConnectionStringBuilder(connectionString) { GssEncryptionMode = GssEncryptionMode.Disable }.ConnectionString;
}

/// <summary>Gives <c>dotnet ef</c> a context; it needs no server to make migrations.</summary>
public sealed class DesignTimeContextFactory : IDesignTimeDbContextFactory<CaseloadDbContext>
{
    /// <inheritdoc />
    public CaseloadDbContext CreateDbContext(string[] args) =>
        new(CaseloadOptions.For(args.Length > 0 ? args[0] : "Host=localhost;Database=design-time-only"));
}
