using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Setup;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Jobs;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>The real scheduler and keeper with a job of the tests.</summary>
internal static class JobHost
{
    public static IHost Build(string connectionString, Func<IServiceProvider, ProgrammeJob> job)
    {
        var builder = Host.CreateApplicationBuilder();
        builder.Logging.ClearProviders();
        builder.Services.AddSingleton(TimeProvider.System);
        builder.Services.AddSingleton<FailureLog>();
        builder.Services.AddCaseloadData(connectionString);
        builder.Services.AddJobs();
        builder.Services.RemoveAll<ProgrammeJob>();
        builder.Services.RemoveAll<ContinuousJob>();
        builder.Services.AddSingleton(job);
        return builder.Build();
    }
}

/// <summary>A new period every two seconds, more than a second of work in steps, and at its end one entry in the access record.</summary>
internal sealed class SteadyJob(CaseloadDb db, TimeProvider time) : ProgrammeJob
{
    public const string Word = "steady";
    public const string Worked = "tested-steadily";
    private const int Steps = 12;

    public override string Name => Word;

    public override string Title => "Steady";

    public override string Purpose => "Works steadily.";

    public override TimeSpan AskedEvery { get; } = TimeSpan.FromSeconds(1);

    public override string? DuePeriod(ProgrammeRow programme, DateTimeOffset at) =>
        (at.ToUnixTimeSeconds() / 2).ToString(CultureInfo.InvariantCulture);

    public override DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at) => at.AddSeconds(2);

    public override async Task<string> RunAsync(JobProgress run, CancellationToken ct)
    {
        for (var step = 0; step < Steps; step++)
        {
            await Task.Delay(100, ct);
            await run.ReportAsync(step, Steps, ct);
        }
        await using var context = db.ForJob(Name, run.Programme.Id);
        context.Record(Worked, null, time.GetUtcNow(), new AccessDetail().WithKey("period", "p" + run.Period));
        await context.SaveChangesAsync(ct);
        return "Worked.";
    }
}
