using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Setup;
using Npgsql;

namespace Caseload.Web.Platform;

/// <summary>Checks the access record of every programme, for a person at the server or a script that watches.</summary>
public static class VerifyCommand
{
    private const int Intact = 0;
    private const int Altered = 1;
    private const int NotChecked = 2;

    /// <summary>0 when every record is intact, 1 when one was altered, 2 when one could not be checked.</summary>
    public static async Task<int> RunAsync(HostStart start)
    {
        var configuration = new ConfigurationBuilder().AddEnvironmentVariables().Build();
        DatabaseAccess.RequireDatabase(start, configuration);
        await using var access = await DatabaseAccess.OpenAsync(start, configuration, Console.Error.WriteLine, CancellationToken.None);
        await using var source = CaseloadOptions.OpenDataSource(access.App);
        var db = new CaseloadDb(CaseloadOptions.For(source), TimeProvider.System);
        return await VerifyAsync(db, Console.Out, CancellationToken.None);
    }

    /// <summary>Checks and writes a line for each programme.</summary>
    public static async Task<int> VerifyAsync(CaseloadDb db, TextWriter output, CancellationToken ct)
    {
        IReadOnlyList<ProgrammeRow> programmes;
        try
        {
            programmes = await db.ListProgrammesAsync(ct);
        }
        catch (NpgsqlException exception)
        {
            await output.WriteLineAsync($"Not checked: the database does not answer as expected ({Cause(exception)})");
            return NotChecked;
        }
        if (programmes.Count == 0)
        {
            await output.WriteLineAsync("There is no programme yet, and so no record to check.");
            return Intact;
        }
        var outcome = Intact;
        foreach (var programme in programmes)
        {
            var (line, one) = await VerifyAsync(db, programme, ct);
            await output.WriteLineAsync(line);
            outcome = Worse(outcome, one);
        }
        return outcome;
    }

    private static async Task<(string Line, int Outcome)> VerifyAsync(CaseloadDb db, ProgrammeRow programme, CancellationToken ct)
    {
        try
        {
            await using var context = db.ForJob("verify", programme.Id);
            var result = await AccessChain.VerifyAsync(context, null, ct);
            return result.Broken is { } broken
                ? ($"{programme.Name}: BROKEN. {broken.InWords} Intact before it: {Entries(result.EntryCount)}.", Altered)
                : ($"{programme.Name}: intact. {Entries(result.EntryCount)} checked; the newest has the hash {result.NewestHash}", Intact);
        }
        catch (NpgsqlException exception)
        {
            return ($"{programme.Name}: not checked ({Cause(exception)})", NotChecked);
        }
    }

    private static string Cause(NpgsqlException exception) =>
        exception is PostgresException refused ? refused.MessageText : exception.Message;

    // A record that was altered outweighs one that could not be read.
    private static int Worse(int one, int other) =>
        one == Altered || other == Altered ? Altered
        : one == NotChecked || other == NotChecked ? NotChecked
        : Intact;

    private static string Entries(long count) => count == 1 ? "1 entry" : string.Create(CultureInfo.InvariantCulture, $"{count} entries");
}
