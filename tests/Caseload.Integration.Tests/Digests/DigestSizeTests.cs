using System.Diagnostics;
using Caseload.Data.Access;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Digests;

namespace Caseload.Integration.Tests.Digests;

/// <summary>A large programme's digests are made while nobody waits, and still soon.</summary>
public sealed class DigestSizeTests(StoreFixture store, ITestOutputHelper output) : IClassFixture<StoreFixture>
{
    [Fact]
    public async Task Reading_OfFifteenHundredChildren_TakesSecondsAndItsMailStaysSmall()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var clinicians = new List<Guid>();
        for (var index = 0; index < 30; index++)
        {
            clinicians.Add((await steps.AddPersonAsync([Role.Clinician])).ClinicianId!.Value);
        }
        await FillAsync(steps.ProgrammeId, clinicians);

        var watch = Stopwatch.StartNew();
        var reading = await steps.ReadAsync();
        var readIn = watch.Elapsed;
        watch.Restart();
        var programme = reading.ForProgramme();
        var html = DigestHtml.Write(programme, StoreFixture.NewId(), hasStop: true);
        var text = DigestText.Write(programme, StoreFixture.NewId());
        var own = clinicians.Select(reading.ForClinician).ToList();
        var wroteIn = watch.Elapsed;

        output.WriteLine(
            FormattableString.Invariant(
                $"1,500 children, 90,000 findings: read and worked out in {readIn.TotalSeconds:N1} s, 31 digests put together in {wroteIn.TotalSeconds:N1} s; {programme.ToJson().Length:N0} characters of content, {html.Length:N0} of HTML, {text.Length:N0} of text"
            )
        );
        programme.ChildCount.ShouldBe(1500);
        own.Sum(content => content.ChildCount).ShouldBe(1500);
        own.Sum(content => content.Persisting.Count).ShouldBe(programme.Persisting.Count);
        programme.Persisting.Count.ShouldBeGreaterThan(100);
        // Measured at about twelve seconds on two cores with ten times as much to do; the bound is for such a machine.
        readIn.ShouldBeLessThan(TimeSpan.FromSeconds(60));
        html.Length.ShouldBeLessThan(100_000, "some mail programs cut a longer message");
    }

    private Task<object?> FillAsync(Guid programmeId, List<Guid> clinicians) =>
        store.AskOwnerAsync(
            $"""
            insert into children (programme_id, id, code, given_name, family_name, born_on, gestation_days, enrolled_on, clinician_id, created_at, updated_at)
                select '{programmeId}', gen_random_uuid(), 'K-' || lpad(number::text, 4, '0'), 'Given', 'Family', date '2025-09-01' + (number % 420), 280 - number % 60,
                    date '2025-09-01' + (number % 420), (array['{string.Join(
                "','",
                clinicians
            )}']::uuid[])[1 + number % {clinicians.Count}],
                    now(), now()
                from generate_series(1, 1500) as number;
            insert into visits (programme_id, id, child_id, visited_on, started_at, finished_at)
                select programme_id, gen_random_uuid(), id, born_on + week * 70, now(), now()
                from children cross join generate_series(1, 4) as week where programme_id = '{programmeId}';
            insert into findings (programme_id, id, child_id, visit_id, item, observed_on, side, response, state, state_scale, is_withdrawal, recorded_at, set_key)
                select v.programme_id, gen_random_uuid(), v.child_id, v.id, item, v.visited_on, 'both',
                    case when hashtext(v.id::text || item) % 4 = 0 then 'absent' else 'typical' end, 'quiet-alert', 'six states in words', false, now(), 'published@1'
                from visits as v cross join unnest(array['moro', 'rooting', 'palmar_grasp', 'plantar_grasp', 'atnr', 'galant', 'suck_swallow', 'babkin',
                    'stepping', 'stnr', 'tlr_prone', 'tlr_supine', 'landau', 'traction', 'flexor_withdrawal']) as item
                where v.programme_id = '{programmeId}';
            """
        );
}
