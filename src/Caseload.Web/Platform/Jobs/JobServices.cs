using Caseload.Data.Setup;
using Npgsql;
using Quartz;

namespace Caseload.Web.Platform.Jobs;

/// <summary>What jobs need: every class that is one, who keeps their runs, and the scheduler that asks them.</summary>
public static class JobServices
{
    /// <summary>Registers all of it; the scheduler begins once the host has started.</summary>
    public static IServiceCollection AddJobs(this IServiceCollection services)
    {
        services.AddJobClasses();
        services.AddHostedService<NudgedJobs>();
        services.AddHostedService<JobScheduler>();
        // By a name, so that its clock stays its own and does not become the application's.
        services.AddQuartz(
            JobScheduler.Name,
            quartz =>
            {
                // What a fixed day shows is for people; when to ask is a matter of real time, also after a start that sets the day back.
                quartz.UseTimeProvider(TimeProvider.System);
                quartz.ConfigureScheduler(options => options.ShutdownJobInterruption = ShutdownJobInterruption.Always);
                quartz.UsePersistentStore(store =>
                {
                    store.UsePostgres(options => options.DataSourceFactory = provider => provider.GetRequiredService<NpgsqlDataSource>());
                    store.ConfigureStore(options => options.TablePrefix = SchedulerTables.Prefix);
                    store.UseClustering();
                });
            }
        );
        return services;
    }

    /// <summary>Registers the jobs and who keeps their runs, and no scheduler.</summary>
    public static IServiceCollection AddJobClasses(this IServiceCollection services)
    {
        foreach (var type in typeof(JobServices).Assembly.GetTypes().Where(type => type is { IsClass: true, IsAbstract: false }))
        {
            if (type.IsAssignableTo(typeof(ProgrammeJob)))
            {
                services.AddSingleton(typeof(ProgrammeJob), type);
            }
            else if (type.IsAssignableTo(typeof(ContinuousJob)))
            {
                services.AddSingleton(typeof(ContinuousJob), type);
            }
        }
        services.AddSingleton<JobList>();
        services.AddSingleton<JobSignal>();
        services.AddSingleton<JobKeeper>();
        return services;
    }
}
