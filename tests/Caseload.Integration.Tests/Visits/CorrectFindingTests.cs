using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Visits;

public sealed class CorrectFindingTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private const string Reason = "Typed into the wrong row";

    private readonly VisitSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Correct_WithAReason_AppendsAFindingAndLeavesTheOldOneAsItWas()
    {
        var (visitId, old) = await FinishedAsync();

        var outcome = await CorrectAsync(old, CorrectionForm.From(old) with { Response = Response.Absent, Reason = Reason });

        outcome.ShouldBeOfType<CorrectFindingOutcome.Corrected>();
        var rows = await RowsAsync(visitId);
        rows.Count.ShouldBe(2);
        rows.Single(row => row.Id == old.Id).ToFinding().ShouldBe(old);
        var correction = rows.Single(row => row.CorrectsId == old.Id);
        (correction.Response, correction.CorrectionReason).ShouldBe((Response.Absent, Reason));
        await using var context = store.ContextA();
        var status = await context.ItemStatuses.SingleAsync(row => row.ChildId == correction.ChildId && row.Item == "moro", Ct);
        status.State.ShouldBe(ItemState.AwaitingConfirmation);
    }

    [Fact]
    public async Task Correct_ByTakingBack_LeavesNoFindingStanding()
    {
        var (visitId, old) = await FinishedAsync();

        await CorrectAsync(old, CorrectionForm.From(old) with { IsWithdrawal = true, Reason = Reason });

        var finished = (await _steps.GetAsync(visitId)).Finished!;
        finished
            .Findings.Select(row => (row.Finding.IsWithdrawal, row.CorrectedBecause, row.IsStanding))
            .ShouldBe([(false, Reason, false), (true, null, false)]);
        finished.Report.Items.ShouldHaveSingleItem().HasChanged.ShouldBeFalse();
    }

    [Fact]
    public async Task Correct_TheCorrection_IsAllowedAndKeepsTheWholeChain()
    {
        var (visitId, old) = await FinishedAsync();
        await CorrectAsync(old, CorrectionForm.From(old) with { Response = Response.Absent, Reason = Reason });
        var correction = (await RowsAsync(visitId)).Single(row => row.CorrectsId == old.Id).ToFinding();

        await CorrectAsync(
            correction,
            CorrectionForm.From(correction) with
            {
                Response = Response.Weak,
                Reason = "Right the first time, nearly",
            }
        );

        (await _steps.GetAsync(visitId))
            .Finished!.Findings.Select(row => (row.Finding.Response, row.IsStanding))
            .ShouldBe([(Response.Typical, false), (Response.Absent, false), (Response.Weak, true)]);
    }

    [Theory]
    [InlineData("", Response.Absent, "correctionReason")]
    [InlineData(Reason, Response.Complete, "response")]
    [InlineData(Reason, Response.Typical, "response")]
    public async Task Correct_WithoutReasonOrChange_IsRefused(string reason, Response response, string field)
    {
        var (visitId, old) = await FinishedAsync();

        var outcome = await CorrectAsync(old, CorrectionForm.From(old) with { Response = response, Reason = reason });

        outcome.ShouldBeOfType<CorrectFindingOutcome.Refused>().Refusals.ShouldHaveSingleItem().Field.ShouldBe(field);
        (await RowsAsync(visitId)).ShouldHaveSingleItem();
    }

    [Fact]
    public async Task Correct_Twice_WithOneId_AppendsOneCorrection()
    {
        var (visitId, old) = await FinishedAsync();
        var request = new CorrectFinding(
            VisitSteps.NewId(),
            old.Id,
            CorrectionForm.From(old) with
            {
                Response = Response.Absent,
                Reason = Reason,
            }
        );

        await _steps.Correct.HandleAsync(_steps.Actor, request, Ct);
        var second = await _steps.Correct.HandleAsync(_steps.Actor, request, Ct);

        second.ShouldBeOfType<CorrectFindingOutcome.Corrected>();
        (await RowsAsync(visitId)).Count.ShouldBe(2);
    }

    [Fact]
    public async Task Correct_ByTwoPeopleAtOnce_CountsOnce()
    {
        var (visitId, old) = await FinishedAsync();
        var form = CorrectionForm.From(old) with { Response = Response.Absent, Reason = Reason };

        var outcomes = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => CorrectAsync(old, form)));

        outcomes.Count(outcome => outcome is CorrectFindingOutcome.Corrected).ShouldBe(1);
        outcomes.Count(outcome => outcome is CorrectFindingOutcome.AlreadyCorrected).ShouldBe(3);
        (await RowsAsync(visitId)).Count.ShouldBe(2);
    }

    [Fact]
    public async Task Correct_AFindingOfAnotherProgramme_IsRefused()
    {
        var (_, old) = await FinishedAsync();
        var request = new CorrectFinding(
            VisitSteps.NewId(),
            old.Id,
            CorrectionForm.From(old) with
            {
                Response = Response.Absent,
                Reason = Reason,
            }
        );

        var outcome = await _steps.Correct.HandleAsync(store.LeadB, request, Ct);

        outcome.ShouldBeOfType<CorrectFindingOutcome.Refused>();
    }

    private async Task<(Guid VisitId, Finding Old)> FinishedAsync()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        await _steps.FinishAsync(visitId, VisitSteps.Alike("moro", Response.Typical));
        return (visitId, (await RowsAsync(visitId)).Single().ToFinding());
    }

    private Task<CorrectFindingOutcome> CorrectAsync(Finding old, CorrectionForm form) =>
        _steps.Correct.HandleAsync(_steps.Actor, new CorrectFinding(VisitSteps.NewId(), old.Id, form), Ct);

    private async Task<List<RecordedFinding>> RowsAsync(Guid visitId)
    {
        await using var context = store.ContextA();
        return await context.Findings.AsNoTracking().Where(row => row.VisitId == visitId).ToListAsync(Ct);
    }
}
