using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;
using Caseload.Web.Features.Visits;

namespace Caseload.Components.Tests.Visits;

/// <summary>What is entered at a visit, and the findings that come of it.</summary>
public sealed class EntryTests
{
    private static readonly DateOnly _on = Samples.Day("2026-09-01");

    [Fact]
    public void Entry_WhenBothSidesAreAlike_IsOneFinding()
    {
        var finding = Entry()
            .WithResponse(Side.Both, Response.Typical, BehaviouralState.QuietAlert)
            .ToFindings(Sidedness.Each, _on, null)
            .ShouldHaveSingleItem();

        (finding.Side, finding.Response, finding.State, finding.ObservedOn).ShouldBe(
            (Side.Both, Response.Typical, BehaviouralState.QuietAlert, _on)
        );
    }

    [Fact]
    public void Entry_WhenSidesDiffer_IsAFindingForEach() =>
        Entry()
            .WithResponse(Side.Left, Response.Typical, null)
            .WithResponse(Side.Right, Response.Absent, null)
            .ToFindings(Sidedness.Each, _on, null)
            .Select(finding => (finding.Side, finding.Response))
            .ShouldBe([(Side.Left, Response.Typical), (Side.Right, Response.Absent)]);

    [Fact]
    public void Entry_WhenOneSideCouldNotBeTested_KeepsTheOther() =>
        Entry()
            .WithResponse(Side.Left, Response.Typical, null)
            .WithNotTested(NotTestedReason.LimbInjury, null)
            .ToFindings(Sidedness.Each, _on, null)
            .Select(finding => (finding.Side, finding.Response, finding.NotTested))
            .ShouldBe([(Side.Left, Response.Typical, null), (Side.Right, (Response?)null, (NotTestedReason?)NotTestedReason.LimbInjury)]);

    [Fact]
    public void Entry_WhenItCouldNotBeTested_TakesBackWhatWasSeen()
    {
        var entry = Entry().WithResponse(Side.Both, Response.Typical, null).WithNotTested(NotTestedReason.Crying, null);

        (entry.Left, entry.Right, entry.NotTested).ShouldBe((null, null, NotTestedReason.Crying));
    }

    [Fact]
    public void Entry_WhenItIsSeenAfterAll_IsNoLongerUntested() =>
        Entry()
            .WithNotTested(NotTestedReason.Crying, null)
            .WithResponse(Side.Both, Response.Weak, null)
            .ToFindings(Sidedness.None, _on, null)
            .ShouldHaveSingleItem()
            .NotTested.ShouldBeNull();

    [Fact]
    public void State_WhenItWasGivenForTheEntry_WinsOverThePresentOne() =>
        (Entry() with { State = BehaviouralState.Drowsy })
            .WithResponse(Side.Both, Response.Weak, BehaviouralState.QuietAlert)
            .State.ShouldBe(BehaviouralState.Drowsy);

    [Fact]
    public void Entry_WhenNothingIsEntered_IsNoFinding() => Entry().ToFindings(Sidedness.Each, _on, null).ShouldBeEmpty();

    [Fact]
    public void Entry_WhenCleared_KeepsItsIds()
    {
        var entry = Entry().WithIds(() => Samples.Id(4)).WithResponse(Side.Both, Response.Weak, null);

        var cleared = entry.Cleared();

        cleared.IsEntered.ShouldBeFalse();
        cleared.BothId.ShouldBe(Samples.Id(4));
    }

    [Fact]
    public void ReviewedExclusion_WhenTheItemIsDoneAnyway_StandsInTheNote() =>
        (Entry() with { Note = "Gently" })
            .WithResponse(Side.Both, Response.Weak, null)
            .ToFindings(Sidedness.None, _on, "Reflux: lying flat.")
            .ShouldHaveSingleItem()
            .Note.ShouldBe("Gently (Exclusion reviewed with the team. Reflux: lying flat.)");

    [Fact]
    public void Form_WhenWrittenAndRead_IsTheSame()
    {
        var entry = (Entry() with { Note = "Calm" })
            .WithIds(() => Samples.Id(4))
            .WithResponse(Side.Left, Response.Brisk, BehaviouralState.QuietAlert);
        var form = new VisitForm
        {
            State = BehaviouralState.Drowsy,
            Place = "Home",
            Note = "Slept badly",
        }
            .With(entry)
            .WithAdded(new AddedItem("stnr", "Reflux"));

        var read = VisitForm.Read(form.Write());

        (read.State, read.Place, read.Note).ShouldBe((BehaviouralState.Drowsy, "Home", "Slept badly"));
        read.EntryOf("moro").ShouldBe(entry);
        read.Added.ShouldBe([new AddedItem("stnr", "Reflux")]);
    }

    [Fact]
    public void SuitableStates_OfEveryItem_NameEachStateThatCounts() =>
        ReferenceSets
            .Default.Items.SelectMany(item =>
                item.States.Best.Concat(item.States.Usable)
                    .Where(state => !VisitWords.SuitableStates(item).Contains(Labels.Of(state), StringComparison.OrdinalIgnoreCase))
                    .Select(state => $"{item.Id}: {state}")
            )
            .ShouldBeEmpty();

    private static EntryForm Entry() => new() { Item = "moro" };
}
