using System.Diagnostics;
using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Data.PrivateCluster;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Data.Statuses;
using Caseload.Web.Features.Matrix;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Npgsql;

namespace Caseload.Benchmarks;

/// <summary>The <c>matrix</c> mode: five hundred children against every item, from the database to the page, and against a component for each cell.</summary>
internal static class MatrixBench
{
    private const int Children = 500;
    private const int Rounds = 12;
    private const double MostMilliseconds = 400;
    private const double LeastCpuRatio = 10;
    private const double LeastMemoryRatio = 4;
    private const double LeastMarkupRatio = 2;

    internal static async Task<int> RunAsync()
    {
        var folder = Directory.CreateTempSubdirectory("caseload-bench-");
        try
        {
            await using var cluster = await PrivateCluster.StartAsync(new PrivateClusterOptions(folder.FullName));
            var (view, milliseconds) = await OpenAsync(cluster);
            var one = await RenderAsync<MatrixTable>(view);
            var cells = await RenderAsync<CellByCell>(view);
            Print($"{view.Rows.Count:N0} children x {view.Items.Count} items");
            Print($"opening, from the handler's first query to the markup: {milliseconds:N0} ms (at most {MostMilliseconds:N0})");
            Print($"one component:     {one.Milliseconds:N1} ms, {one.Bytes / 1e6:N2} MB kept, {one.Length / 1e6:N2} MB of markup");
            Print($"one for each cell: {cells.Milliseconds:N1} ms, {cells.Bytes / 1e6:N2} MB kept, {cells.Length / 1e6:N2} MB of markup");
            var (cpu, memory, bytes) = (
                cells.Milliseconds / one.Milliseconds,
                (double)cells.Bytes / one.Bytes,
                (double)cells.Length / one.Length
            );
            Print(
                $"a component for each cell takes {cpu:N1} times the time, {memory:N1} times the memory and {bytes:N1} times the markup (at least {LeastCpuRatio:N0}, {LeastMemoryRatio:N0} and {LeastMarkupRatio:N0})"
            );
            var isKept =
                milliseconds <= MostMilliseconds && cpu >= LeastCpuRatio && memory >= LeastMemoryRatio && bytes >= LeastMarkupRatio;
            Print($"{(isKept ? "kept" : "BROKEN")}: every promise of the matrix");
            return isKept ? 0 : 1;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Asks as a team lead, and writes the markup; the median of several times, the first few not counted.</summary>
    private static async Task<(MatrixView View, double Milliseconds)> OpenAsync(PrivateCluster cluster)
    {
        await cluster.EnsureDatabaseAsync("matrix");
        var owner = cluster.OwnerConnectionStringFor("matrix");
        await DatabaseSetup.MigrateAsync(owner);
        await DatabaseSetup.EnsureAppRoleGrantsAsync(owner, PrivateCluster.AppRole);
        await using var source = CaseloadOptions.OpenDataSource(cluster.AppConnectionStringFor("matrix"));
        var time = TimeProvider.System;
        var db = new CaseloadDb(CaseloadOptions.For(source), time);
        var library = new ReferenceLibrary();
        var programmeId = Guid.CreateVersion7(time.GetUtcNow());
        await db.CreateProgrammeAsync(programmeId, "Generated", "Etc/UTC", time.GetUtcNow(), CancellationToken.None);
        await using (var connection = new NpgsqlConnection(owner))
        {
            await connection.OpenAsync();
            await new GeneratedCaseload(connection, programmeId, nights: 1).FillAsync(Children, 10);
        }
        var actor = await AddLeadAsync(db, programmeId, time);
        var handler = new ListMatrixHandler(db, new StatusProjection(db, library), library, time);
        var times = new List<double>();
        MatrixView? view = null;
        for (var round = 0; round < Rounds; round++)
        {
            var watch = Stopwatch.StartNew();
            view = await handler.HandleAsync(actor, new ListMatrix(null, null, null, null), CancellationToken.None);
            _ = MatrixMarkup.Write(view);
            times.Add(watch.Elapsed.TotalMilliseconds);
        }
        return (view!, times.Skip(Rounds / 3).Order().ElementAt(Rounds / 3));
    }

    private static async Task<Actor> AddLeadAsync(CaseloadDb db, Guid programmeId, TimeProvider time)
    {
        var at = time.GetUtcNow();
        await using var context = db.ForJob("bench", programmeId);
        var person = Person.New(programmeId, Guid.CreateVersion7(at), "Lead", "lead", [Role.TeamLead], at);
        var signIn = new SignIn
        {
            ProgrammeId = programmeId,
            Id = Guid.CreateVersion7(at),
            PersonId = person.Id,
            StartedAt = at,
            LastSeenAt = at,
            ExpiresAt = at.AddHours(12),
            Method = SignInMethod.Password,
            Address = "192.0.2.1",
            Device = "a bench",
        };
        context.AddRange(person, signIn);
        await context.SaveChangesAsync();
        return (await db.FindActorAsync(person.Id, signIn.Id, CancellationToken.None))!;
    }

    /// <summary>Renders a table as the server does; the median time, and what is kept while it is shown.</summary>
    private static async Task<(double Milliseconds, long Bytes, int Length)> RenderAsync<T>(MatrixView view)
        where T : IComponent
    {
        await using var services = new ServiceCollection().AddLogging().BuildServiceProvider();
        var times = new List<double>();
        long kept = 0;
        var length = 0;
        for (var round = 0; round < Rounds; round++)
        {
            await using var renderer = new HtmlRenderer(services, services.GetRequiredService<ILoggerFactory>());
            var before = GC.GetTotalMemory(forceFullCollection: true);
            var watch = Stopwatch.StartNew();
            var root = await renderer.Dispatcher.InvokeAsync(() =>
                renderer.RenderComponentAsync<T>(ParameterView.FromDictionary(new Dictionary<string, object?> { ["View"] = view }))
            );
            times.Add(watch.Elapsed.TotalMilliseconds);
            kept = GC.GetTotalMemory(forceFullCollection: true) - before;
            length = (await renderer.Dispatcher.InvokeAsync(root.ToHtmlString)).Length;
            GC.KeepAlive(root);
        }
        return (times.Skip(Rounds / 3).Order().ElementAt(Rounds / 3), kept, length);
    }

    private static void Print(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
