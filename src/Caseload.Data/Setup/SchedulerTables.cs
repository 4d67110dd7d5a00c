using Npgsql;
using Quartz;

namespace Caseload.Data.Setup;

/// <summary>The tables in which the processes of an installation agree when a job is asked; the scheduler's own, in a schema of their own.</summary>
/// <remarks>They hold nothing of any programme and stand in no model of ours: the scheduler makes them, as the owner, and knows what they mean.</remarks>
public static class SchedulerTables
{
    /// <summary>The schema.</summary>
    public const string Schema = "scheduler";

    /// <summary>What every table's name begins with, the schema included.</summary>
    public const string Prefix = Schema + ".qrtz_";

    // Making them takes a quarter of a second, so the schema remembers which version of the scheduler made them.
    private static readonly string _version = "Quartz " + typeof(IScheduler).Assembly.GetName().Version;

    /// <summary>Makes what is missing; may be repeated, by several at once.</summary>
    internal static async Task EnsureAsync(string ownerConnectionString, CancellationToken ct)
    {
        await using var source = CaseloadOptions.OpenDataSource(ownerConnectionString);
        await using (var find = source.CreateCommand("select obj_description(to_regnamespace($1), 'pg_namespace')"))
        {
            find.Parameters.Add(new() { Value = Schema });
            if (await find.ExecuteScalarAsync(ct) as string == _version)
            {
                return;
            }
        }
        await ExecuteAsync(source, $"create schema if not exists {Schema}", ct);
        var builder = QuartzSchedulerBuilder.Create(quartz =>
            quartz.UsePersistentStore(store =>
            {
                store.UsePostgres(options => options.DataSourceFactory = _ => source);
                store.ConfigureStore(options => options.TablePrefix = Prefix);
                store.ProvisionSchema();
            })
        );
        await using (var factory = builder.Build())
        {
            // It is made and never started: tables come with the making.
            await factory.GetScheduler(ct);
        }
        await ExecuteAsync(source, $"comment on schema {Schema} is '{_version}'", ct);
    }

    private static async Task ExecuteAsync(NpgsqlDataSource source, string sql, CancellationToken ct)
    {
#pragma warning disable CA2100 // Constants of this program; definitions take no parameters.
        await using var command = source.CreateCommand(sql);
#pragma warning restore CA2100
        await command.ExecuteNonQueryAsync(ct);
    }
}
