using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Policy;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Programmes;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Time.Testing;

namespace Caseload.Integration.Tests.Programmes;

public sealed class ProgrammeSettingsTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);
    private readonly FakeTimeProvider _time = new(StoreFixture.NoonAt);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Actor Actor => _store.LeadA;

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    public async Task Policy_Saved_RewritesStatusesInTheSameTransaction()
    {
        Guid childId;
        await using (var context = _store.ContextA())
        {
            childId = (await StoreFixture.AddChildAsync(context, "2026-11-20")).Id;
            await _store.Statuses.RewriteAsync(context, childId, StoreFixture.TodayOn, Ct);
            await context.SaveChangesAsync(Ct);
        }
        var before = await CheckThroughAsync(childId);

        var outcome = await SavePolicyAsync(await VersionAsync(), ReviewPolicy.Default with { FirstLookDays = 60, GraceDays = 45 });

        outcome.ShouldBeOfType<SaveOutcome.Done>().ChildCount.ShouldBe(1);
        (await GetAsync()).Policy.GraceDays.ShouldBe(45);
        (await CheckThroughAsync(childId)).ShouldNotBe(before);
    }

    [Fact]
    public async Task Policy_ThatCannotWork_IsRefusedAtItsFieldAndNotSaved()
    {
        var outcome = await SavePolicyAsync(await VersionAsync(), ReviewPolicy.Default with { GraceDays = 90 });

        outcome.ShouldBeOfType<SaveOutcome.Refused>().Refusals.Single().Field.ShouldBe(nameof(ReviewPolicy.GraceDays));
        (await GetAsync()).Policy.ShouldBe(ReviewPolicy.Default);
    }

    [Fact]
    public async Task Policy_SavedFromAnOldPage_IsChangedMeanwhile()
    {
        var seen = await VersionAsync();
        await SavePolicyAsync(seen, ReviewPolicy.Default with { GraceDays = 20 });

        var outcome = await SavePolicyAsync(seen, ReviewPolicy.Default with { GraceDays = 30 });

        outcome.ShouldBeOfType<SaveOutcome.ChangedMeanwhile>();
        (await GetAsync()).Policy.GraceDays.ShouldBe(20);
    }

    [Fact]
    public async Task Policy_SavedTwiceWithTheVersionsItReturns_GoesThrough()
    {
        var first = (SaveOutcome.Done)await SavePolicyAsync(await VersionAsync(), ReviewPolicy.Default with { GraceDays = 20 });

        var second = await SavePolicyAsync(first.RowVersion, ReviewPolicy.Default with { GraceDays = 30 });

        second.ShouldBeOfType<SaveOutcome.Done>();
    }

    [Fact]
    public async Task Programme_Saved_KeepsNameAndZone()
    {
        var outcome = await SaveProgrammeAsync(await VersionAsync(), " Larkfield ", "Europe/Dublin");

        outcome.ShouldBeOfType<SaveOutcome.Done>();
        var saved = await GetAsync();
        (saved.Name, saved.TimeZoneId).ShouldBe(("Larkfield", "Europe/Dublin"));
    }

    [Theory]
    [InlineData(" ", "Europe/Dublin", "Name")]
    [InlineData("Larkfield", "Mars/Base", "TimeZoneId")]
    [InlineData("Larkfield", "", "TimeZoneId")]
    public async Task Programme_WithAFault_NamesTheField(string name, string zone, string field)
    {
        var outcome = await SaveProgrammeAsync(await VersionAsync(), name, zone);

        outcome.ShouldBeOfType<SaveOutcome.Refused>().Refusals.Single().Field.ShouldBe(field);
    }

    [Fact]
    public async Task Programme_SavedFromAnOldPage_IsChangedMeanwhile()
    {
        var seen = await VersionAsync();
        await SaveProgrammeAsync(seen, "First", "Europe/Dublin");

        (await SaveProgrammeAsync(seen, "Second", "Europe/Dublin")).ShouldBeOfType<SaveOutcome.ChangedMeanwhile>();
    }

    [Fact]
    public async Task AccessPolicy_Saved_IsThereForTheNext()
    {
        var form = (await GetAsync()).Access;
        form[Field(nameof(AccessPolicy.IdleMinutes))] = " 20 ";
        form.NeedSecondFactor.Remove(Role.Observer);

        (await SaveAccessAsync(await VersionAsync(), form)).ShouldBeOfType<SaveOutcome.Done>();

        var saved = (await GetAsync()).Access.Read().Value;
        saved.ShouldBe(AccessPolicy.Default with { IdleMinutes = 20, ObserversNeedSecondFactor = false });
    }

    [Theory]
    [InlineData(nameof(AccessPolicy.IdleMinutes), "61")]
    [InlineData(nameof(AccessPolicy.InvitationDays), "a week")]
    public async Task AccessPolicy_ThatDoesNotProtect_IsRefusedAtItsFieldAndNotSaved(string name, string text)
    {
        var form = AccessPolicyForm.Defaults;
        form[Field(name)] = text;

        var outcome = await SaveAccessAsync(await VersionAsync(), form);

        outcome.ShouldBeOfType<SaveOutcome.Refused>().Refusals.Single().Field.ShouldBe(name);
        (await GetAsync()).Access.Read().Value.ShouldBe(AccessPolicy.Default);
    }

    [Fact]
    public async Task AccessPolicy_SavedFromAnOldPage_IsChangedMeanwhile()
    {
        var seen = await VersionAsync();
        await SaveProgrammeAsync(seen, "Larkfield", "Europe/Dublin");

        (await SaveAccessAsync(seen, AccessPolicyForm.Defaults)).ShouldBeOfType<SaveOutcome.ChangedMeanwhile>();
    }

    [Fact]
    public async Task AlertPolicy_Saved_IsThereForTheNext()
    {
        var policy = AlertPolicy.Default with { SameDayHours = 2, DigestDay = DayOfWeek.Friday, MailNaming = MailNaming.CodeAndInitials };

        (await SaveAlertsAsync(await VersionAsync(), policy)).ShouldBeOfType<SaveOutcome.Done>().ChildCount.ShouldBe(0);

        (await GetAsync()).Alerts.Read().Value.ShouldBe(policy);
    }

    [Fact]
    public async Task AlertPolicy_WithOtherWeeks_WorksOutEveryChildAnew()
    {
        await using (var context = _store.ContextA())
        {
            await StoreFixture.AddChildAsync(context, "2026-06-01");
            await context.SaveChangesAsync(Ct);
        }

        var outcome = await SaveAlertsAsync(await VersionAsync(), AlertPolicy.Default with { NotVisitedWeeks = 4 });

        outcome.ShouldBeOfType<SaveOutcome.Done>().ChildCount.ShouldBe(1);
    }

    [Fact]
    public async Task AlertPolicy_ThatCannotWork_IsRefusedAtItsFieldAndNotSaved()
    {
        var outcome = await SaveAlertsAsync(await VersionAsync(), AlertPolicy.Default with { SameDayHours = 25, NotVisitedWeeks = 0 });

        outcome
            .ShouldBeOfType<SaveOutcome.Refused>()
            .Refusals.Select(refusal => refusal.Field)
            .ShouldBe([nameof(AlertPolicy.NotVisitedWeeks), nameof(AlertPolicy.SameDayHours)]);
        (await GetAsync()).Alerts.Read().Value.ShouldBe(AlertPolicy.Default);
    }

    [Fact]
    public async Task AlertPolicy_SavedFromAnOldPage_IsChangedMeanwhile()
    {
        var seen = await VersionAsync();
        await SaveProgrammeAsync(seen, "Larkfield", "Europe/Dublin");

        (await SaveAlertsAsync(seen, AlertPolicy.Default)).ShouldBeOfType<SaveOutcome.ChangedMeanwhile>();
    }

    [Fact]
    public async Task Settings_ForEachRole_SayWhatItMayChange()
    {
        var clinician = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician]);
        var lead = await _store.AddPersonAsync(_store.ProgrammeA, [Role.TeamLead]);
        var administrator = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Administrator]);

        (await MayAsync(clinician)).ShouldBe((false, false));
        (await MayAsync(lead)).ShouldBe((false, true));
        (await MayAsync(administrator)).ShouldBe((true, false));
        await Should.ThrowAsync<AccessDeniedException>(() => SaveAccessAsync(0, AccessPolicyForm.Defaults, lead));

        async Task<(bool, bool)> MayAsync(Actor actor)
        {
            var settings = await new GetProgrammeHandler(_store.Db).HandleAsync(actor, new GetProgramme(), Ct);
            return (settings.MayChangeSettings, settings.MayChangePolicy);
        }
    }

    private Task<ProgrammeSettings> GetAsync() => new GetProgrammeHandler(_store.Db).HandleAsync(Actor, new GetProgramme(), Ct);

    private async Task<uint> VersionAsync() => (await GetAsync()).RowVersion;

    private Task<SaveOutcome> SavePolicyAsync(uint version, ReviewPolicy policy) =>
        new SaveReviewPolicyHandler(_store.Db, _store.Statuses, _time).HandleAsync(Actor, new(version, policy), Ct);

    private Task<SaveOutcome> SaveProgrammeAsync(uint version, string name, string zone) =>
        new SaveProgrammeHandler(_store.Db, _store.Statuses, _time).HandleAsync(Actor, new(version, name, zone), Ct);

    private Task<SaveOutcome> SaveAccessAsync(uint version, AccessPolicyForm form, Actor? actor = null) =>
        new SaveAccessPolicyHandler(_store.Db, _time).HandleAsync(actor ?? Actor, new SaveAccessPolicy(version, form), Ct);

    private Task<SaveOutcome> SaveAlertsAsync(uint version, AlertPolicy policy) =>
        new SaveAlertPolicyHandler(_store.Db, _store.Statuses, _time).HandleAsync(Actor, new SaveAlertPolicy(version, policy), Ct);

    private static AccessPolicyField Field(string name) => AccessPolicyField.All.Single(field => field.Name == name);

    private async Task<DateOnly?> CheckThroughAsync(Guid childId)
    {
        await using var context = _store.ContextA();
        return await context
            .ItemStatuses.Where(row => row.ChildId == childId && row.Item == "moro")
            .Select(row => row.CheckThroughOn)
            .SingleAsync(Ct);
    }
}
