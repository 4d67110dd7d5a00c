using Caseload.Data;
using Caseload.Data.Papers;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Web.Platform.Summaries;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform;

/// <summary>Writes a caseload summary for a person at the server or a script: the same reading and writing as the page's.</summary>
public static class SummaryCommand
{
    /// <summary>0 when the file was written; every reason against it is a <see cref="HostStartException"/>.</summary>
    public static async Task<int> RunAsync(HostStart start)
    {
        var configuration = new ConfigurationBuilder().AddEnvironmentVariables().Build();
        DatabaseAccess.RequireDatabase(start, configuration);
        var options = start.Summary!;
        if (File.Exists(options.File))
        {
            throw new HostStartException($"{options.File} is there already. Choose another name, or remove it first.");
        }
        using var stopping = new CancellationTokenSource();
        Console.CancelKeyPress += (_, press) =>
        {
            press.Cancel = true;
            stopping.Cancel();
        };
        await using var access = await DatabaseAccess.OpenAsync(start, configuration, Console.Error.WriteLine, stopping.Token);
        await using var source = CaseloadOptions.OpenDataSource(access.App);
        var time = start.Today is { } today ? new FixedDayTime(today) : TimeProvider.System;
        var db = new CaseloadDb(CaseloadOptions.For(source), time);
        try
        {
            var count = await WriteAsync(db, new ReferenceLibrary(), options, time, stopping.Token);
            Console.WriteLine($"{options.File}: {(count == 1 ? "1 child" : $"{count} children")}");
            return 0;
        }
        catch (OperationCanceledException)
        {
            throw new HostStartException("Cancelled. No file was written.");
        }
    }

    /// <summary>Writes the file and says so in the access record; nothing is left behind when it fails.</summary>
    /// <returns>How many children it is about.</returns>
    /// <exception cref="HostStartException">Something that was named is not there, or the day cannot be.</exception>
    public static async Task<int> WriteAsync(
        CaseloadDb db,
        ReferenceLibrary library,
        SummaryOptions options,
        TimeProvider time,
        CancellationToken ct
    )
    {
        var programme = Find(await db.ListProgrammesAsync(ct), options.Programme);
        var zone = TimeZoneInfo.FindSystemTimeZoneById(programme.TimeZoneId);
        var todayOn = programme.TodayOn(time.GetUtcNow());
        await using var context = db.ForJob("summary-command", programme.Id);
        var request = new SummaryRequest(
            options.AsOfOn,
            options.SinceOn,
            await FindClinicianAsync(context, options.Clinician, ct),
            options.Zone,
            WithNames: options.HasNames
        );
        if (request.Refuse(todayOn) is [var refusal, ..])
        {
            throw new HostStartException(refusal.Message);
        }
        var summary = await SummaryReading.ReadAsync(
            context,
            library,
            await request.AskAsync(context, todayOn, ct),
            new SummarySheet("the command line", time.GetUtcNow(), zone, options.HasNames),
            null,
            ct
        );
        var unfinished = options.File + ".unfinished";
        try
        {
            await using (var file = new FileStream(unfinished, FileMode.Create, FileAccess.ReadWrite))
            {
                await SummaryFile.WriteAsync(summary, options.Format!.Value, zone, file, null, ct);
            }
            context.Record("summary-exported", null, time.GetUtcNow(), SummaryRecords.DetailOf(summary, options.Format.Value));
            await context.SaveChangesAsync(ct);
            File.Move(unfinished, options.File);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new HostStartException($"{options.File} cannot be written: {failure.Message}");
        }
        finally
        {
            if (File.Exists(unfinished))
            {
                File.Delete(unfinished);
            }
        }
        return summary.Children.Count;
    }

    private static ProgrammeRow Find(IReadOnlyList<ProgrammeRow> programmes, string? name)
    {
        if (name is null)
        {
            return programmes.Count switch
            {
                0 => throw new HostStartException("There is no programme yet."),
                1 => programmes[0],
                _ => throw new HostStartException(
                    $"There are several programmes. Name one with --programme: {string.Join("; ", programmes.Select(row => row.Name))}"
                ),
            };
        }
        return programmes.SingleOrDefault(row => row.Name == name)
            ?? throw new HostStartException(
                $"There is no programme \"{name}\". There is: {string.Join("; ", programmes.Select(row => row.Name))}"
            );
    }

    private static async Task<Guid?> FindClinicianAsync(CaseloadDbContext context, string? name, CancellationToken ct)
    {
        if (name is null)
        {
            return null;
        }
        var found = await context.Clinicians.Where(row => row.Name == name).Select(row => row.Id).ToListAsync(ct);
        return found.Count switch
        {
            1 => found[0],
            0 => throw new HostStartException($"There is no clinician \"{name}\"."),
            _ => throw new HostStartException($"There are several clinicians \"{name}\"; the summary cannot tell them apart here."),
        };
    }
}
