using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Digests;
using Caseload.Data.Mail;
using Caseload.Domain.Findings;
using Caseload.Domain.Policy;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Digests;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Digests;

/// <summary>Everybody gets a week's digest once, whatever happens to those who make it.</summary>
public sealed class WeeklyDigestJobTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("2026-11-23T12:59:59Z", "2026-W47", "2026-11-23T13:00:00Z")]
    [InlineData("2026-11-23T13:00:00Z", "2026-W48", "2026-11-30T13:00:00Z")]
    // Missed for days, the newest alone is caught up.
    [InlineData("2026-11-29T22:00:00Z", "2026-W48", "2026-11-30T13:00:00Z")]
    // The clocks of Chicago go forward on 8 March 2026: the hour in UTC moves, the hour on the wall does not.
    [InlineData("2026-03-09T11:59:59Z", "2026-W10", "2026-03-09T12:00:00Z")]
    [InlineData("2026-03-09T12:00:00Z", "2026-W11", "2026-03-16T12:00:00Z")]
    public async Task Period_WhenAsked_IsTheNewestThatIsDue(string at, string period, string next)
    {
        var steps = await DigestSteps.MakeAsync(store);

        steps.Job.DuePeriod(steps.Row, At(at)).ShouldBe(period);
        steps.Job.NextDueAt(steps.Row, At(at)).ShouldBe(At(next));
    }

    [Fact]
    public async Task Run_ForEverybody_MakesDigestsByRoleAndMailByChoice()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var clinician = await steps.AddPersonAsync([Role.Clinician], "clinician@example.org");
        var both = await steps.AddPersonAsync([Role.Clinician, Role.TeamLead], "both@example.org");
        var silent = await steps.AddPersonAsync([Role.Clinician], "silent@example.org", wantsMail: false);
        var addressless = await steps.AddPersonAsync([Role.TeamLead]);
        var disabled = await steps.AddPersonAsync([Role.TeamLead], "disabled@example.org");
        await steps.AddPersonAsync([Role.Observer], "observer@example.org");
        await steps.AddPersonAsync([Role.Administrator], "administrator@example.org");
        await using (var context = steps.Open())
        {
            (await context.People.SingleAsync(row => row.Id == disabled.PersonId, Ct)).DisabledAt = StoreFixture.NoonAt;
            await context.SaveChangesAsync(Ct);
        }

        var result = await steps.RunAsync();

        result.ShouldBe("5 digests made, 3 by mail, 0 there already");
        await using var reader = steps.Open();
        var digests = await reader.Digests.AsNoTracking().ToListAsync(Ct);
        digests
            .Select(row => (row.PersonId, row.Scope))
            .ShouldBe(
                [
                    (clinician.PersonId, DigestScope.Clinician),
                    (both.PersonId, DigestScope.Clinician),
                    (both.PersonId, DigestScope.Programme),
                    (silent.PersonId, DigestScope.Clinician),
                    (addressless.PersonId, DigestScope.Programme),
                ],
                ignoreOrder: true
            );
        digests.ShouldAllBe(row => row.Week == DigestSteps.Week && row.AsOfOn == DigestSteps.AsOfOn && row.MadeAt == StoreFixture.NoonAt);
        var messages = await reader.OutgoingMessages.AsNoTracking().ToListAsync(Ct);
        messages
            .Select(row => (row.Key, row.Address))
            .ShouldBe(
                [
                    ($"digest/2026-W48/clinician/{clinician.PersonId}", "clinician@example.org"),
                    ($"digest/2026-W48/clinician/{both.PersonId}", "both@example.org"),
                    ($"digest/2026-W48/programme/{both.PersonId}", "both@example.org"),
                ],
                ignoreOrder: true
            );
        messages.ShouldAllBe(row => row.IsOptional && row.Kind == MessageKind.Digest && row.NextTryAt == StoreFixture.NoonAt);
        foreach (var message in messages)
        {
            var digest = digests.Single(row =>
                row.PersonId == message.PersonId
                && message.Key.Contains($"/{(row.Scope == DigestScope.Clinician ? "clinician" : "programme")}/")
            );
            message.Subject.ShouldBe(digest.Subject);
            message.Text.ShouldStartWith(digest.Text);
            message.Text.ShouldContain($"{{site}}/digests/{digest.Id}");
            (message.Text + message.Html).ShouldContain(OutgoingMessage.StopMark);
            (digest.Text + digest.Html).ShouldNotContain(OutgoingMessage.StopMark);
        }
        (await reader.AccessEntries.CountAsync(row => row.What == "digest-made" && row.Who == "weekly-digest", Ct)).ShouldBe(5);
        var stored = digests.Single(row => row.PersonId == both.PersonId && row.Scope == DigestScope.Programme).Content;
        DigestContent.FromJson(stored).ToJson().ShouldBe((await steps.ContentAsync()).ToJson());
    }

    [Fact]
    public async Task Run_ASecondTime_AddsNothing()
    {
        var steps = await PeopledAsync(4);
        await steps.RunAsync();

        var again = await steps.RunAsync();

        again.ShouldBe("no digests made, 0 by mail, 5 there already");
        await ShouldBeOnceEachAsync(steps, 5);
    }

    [Fact]
    public async Task Run_ByTwoAtOnce_GivesEverybodyOne()
    {
        var steps = await PeopledAsync(6);
        for (var round = 48; round < 52; round++)
        {
            var week = $"2026-W{round}";

            var results = await Task.WhenAll(steps.RunAsync(week: week), steps.RunAsync(week: week), steps.RunAsync(week: week));

            results
                .Sum(result =>
                    result.StartsWith("no ", StringComparison.Ordinal) ? 0 : int.Parse(result.Split(' ')[0], CultureInfo.InvariantCulture)
                )
                .ShouldBe(7);
        }
        await ShouldBeOnceEachAsync(steps, 7 * 4);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(4)]
    public async Task Run_BrokenOffAfterSome_GoesOnWithTheOthers(int doneCount)
    {
        var steps = await PeopledAsync(4);
        var reports = new List<(int Done, int? Total)>();

        await Should.ThrowAsync<InvalidOperationException>(() =>
            steps.RunAsync((done, _, _) => done == doneCount ? throw new InvalidOperationException("broken off") : Task.CompletedTask)
        );
        await ShouldBeOnceEachAsync(steps, doneCount);
        var result = await steps.RunAsync(
            (done, total, _) =>
            {
                reports.Add((done, total));
                return Task.CompletedTask;
            }
        );

        result.ShouldStartWith($"{5 - doneCount} digest");
        reports.ShouldBe(Enumerable.Range(doneCount, 6 - doneCount).Select(done => (done, (int?)5)));
        await ShouldBeOnceEachAsync(steps, 5);
    }

    [Theory]
    [InlineData(MailNaming.Code)]
    [InlineData(MailNaming.CodeAndInitials)]
    public async Task Digests_Never_HoldNamesOrBirthDates(MailNaming naming)
    {
        var steps = await DigestSteps.MakeAsync(store);
        steps.Policy = AlertPolicy.Default with { MailNaming = naming };
        var clinician = await steps.AddPersonAsync([Role.Clinician], "clinician@example.org");
        await steps.AddPersonAsync([Role.TeamLead], "lead@example.org");
        // Enrolled on the day of birth, as children are who come from a newborn unit, and never visited; others in every part.
        (string BornOn, Guid? ClinicianId, (string, Response)[] Moro)[] cases =
        [
            ("2026-03-01", clinician.ClinicianId, [("2026-11-20", Response.Typical)]),
            ("2026-05-08", clinician.ClinicianId, []),
            ("2026-05-25", clinician.ClinicianId, [("2026-10-25", Response.Absent)]),
            ("2026-05-26", clinician.ClinicianId, [("2026-10-20", Response.Absent), ("2026-11-20", Response.Absent)]),
            ("2026-09-20", null, []),
        ];
        var children = new List<Caseload.Data.Children.Child>();
        foreach (var (bornOn, clinicianId, moro) in cases)
        {
            var child = await steps.AddChildAsync(bornOn, clinicianId, moro);
            children.Add(child);
            await steps.AddAlertAsync(child, DigestSteps.At.AddDays(-1));
        }

        await steps.RunAsync();

        await using var context = steps.Open();
        var digests = await context.Digests.AsNoTracking().ToListAsync(Ct);
        var messages = await context.OutgoingMessages.AsNoTracking().ToListAsync(Ct);
        var texts = digests
            .SelectMany(row => new[] { row.Subject, row.Text, row.Html, row.Content })
            .Concat(messages.SelectMany(row => new[] { row.Subject, row.Text, row.Html! }))
            .ToList();
        texts.Count.ShouldBe(14);
        var programme = DigestContent.FromJson(digests.Single(row => row.Scope == DigestScope.Programme).Content);
        programme.MentionedIds().Count.ShouldBe(children.Count);
        DigestDocument.Of(programme).Nothing.ShouldBe(["closed alerts"], "every part but one is tried");
        foreach (var text in texts)
        {
            foreach (var child in children)
            {
                text.ShouldNotContain(child.GivenName, Case.Insensitive);
                text.ShouldNotContain(child.FamilyName, Case.Insensitive);
                foreach (var form in new[] { "yyyy-MM-dd", "d MMM yyyy", "d MMMM yyyy", "ddd d MMM", "dd.MM.yyyy", "M/d/yyyy", "yyyyMMdd" })
                {
                    text.ShouldNotContain(child.BornOn.ToString(form, CultureInfo.InvariantCulture));
                }
            }
            text.ShouldNotContain("Surname", Case.Insensitive);
            text.Contains("Z.Q.", StringComparison.Ordinal).ShouldBe(naming == MailNaming.CodeAndInitials && !IsSubject(text));
        }

        static bool IsSubject(string text) => text.StartsWith("Caseload ", StringComparison.Ordinal) && !text.Contains('\n');
    }

    private async Task<DigestSteps> PeopledAsync(int clinicianCount)
    {
        var steps = await DigestSteps.MakeAsync(store);
        for (var index = 0; index < clinicianCount; index++)
        {
            var clinician = await steps.AddPersonAsync([Role.Clinician], $"clinician{index}@example.org");
            await steps.AddChildAsync("2026-03-01", clinician.ClinicianId, [("2026-11-20", Response.Typical)]);
        }
        await steps.AddPersonAsync([Role.TeamLead], "lead@example.org");
        return steps;
    }

    private static async Task ShouldBeOnceEachAsync(DigestSteps steps, int count)
    {
        await using var context = steps.Open();
        var digests = await context
            .Digests.Select(row => new
            {
                row.PersonId,
                row.Scope,
                row.Week,
            })
            .ToListAsync(Ct);
        var keys = await context.OutgoingMessages.Select(row => row.Key).ToListAsync(Ct);
        digests.Count.ShouldBe(count);
        digests.Distinct().Count().ShouldBe(count);
        keys.Distinct().Count().ShouldBe(count, "each digest has its one message");
        keys.Count.ShouldBe(count);
        (await context.AccessEntries.CountAsync(row => row.What == "digest-made", Ct)).ShouldBe(count);
    }

    private static DateTimeOffset At(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
}
