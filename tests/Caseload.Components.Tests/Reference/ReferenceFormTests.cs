using Caseload.Domain.Reference;
using Caseload.Web.Features.Reference;

namespace Caseload.Components.Tests.Reference;

public sealed class ReferenceFormTests
{
    private readonly ReferenceForm _form = new(new ReferenceDraft(ReferenceSets.Default, "larkfield", "1", new DateOnly(2026, 11, 25)));

    [Fact]
    public void Form_WhenNothingIsChanged_HasNoFaultsAndNoCandidate()
    {
        _form.Check();

        _form.Faults.ShouldBeEmpty();
        _form.HasChanges.ShouldBeFalse();
        _form.Candidate.ShouldBeNull();
    }

    [Fact]
    public void Deadline_AfterTheLatestLimit_IsAFaultAtTheLimit()
    {
        Type("moro", ScheduleFigure.UsualThrough, "9");

        _form.Check();

        _form.ProblemOf(Item("moro"), Figure("moro", ScheduleFigure.Latest))!.ShouldContain("comes before the usual deadline");
        _form.FaultCountOf(Item("moro")).ShouldBe(1);
        _form.Candidate.ShouldBeNull();
    }

    [Fact]
    public void Deadline_Emptied_IsAFaultAtTheDeadline()
    {
        Type("moro", ScheduleFigure.UsualThrough, "");

        _form.Check();

        _form.ProblemOf(Item("moro"), Figure("moro", ScheduleFigure.UsualThrough)).ShouldBe("It needs a usual deadline.");
    }

    [Theory]
    [InlineData("4.5")]
    [InlineData("-1")]
    [InlineData("six")]
    public void Age_NotAWholeNumber_IsAFaultAtItsFieldAndKeepsWhatWasTyped(string typed)
    {
        Type("moro", ScheduleFigure.Latest, typed);

        _form.Check();

        _form.ProblemOf(Item("moro"), Figure("moro", ScheduleFigure.Latest)).ShouldBe("Use whole numbers.");
        Figure("moro", ScheduleFigure.Latest).FromText.ShouldBe(typed);
    }

    [Fact]
    public void Span_WithOneEnd_AsksForBothOrNeither()
    {
        Type("moro", ScheduleFigure.Absence, "0", "");

        _form.Check();

        _form.ProblemOf(Item("moro"), Figure("moro", ScheduleFigure.Absence)).ShouldBe("Fill in both ages, or neither.");
    }

    [Fact]
    public void Absence_Emptied_IsAllowed()
    {
        Type("moro", ScheduleFigure.Absence, "", "");

        _form.Check();

        _form.Faults.ShouldBeEmpty();
        _form.Candidate!.Find("moro")!.Rule.Absence.ShouldBeNull();
        _form.Changes.Single().To.ShouldBe("none");
    }

    [Fact]
    public void ChangedFigure_WithoutAPickedSource_IsCommonPractice()
    {
        Type("moro", ScheduleFigure.Latest, "8");

        _form.Check();

        _form.Candidate!.Find("moro")!.Rule.Latest!.Sources.ShouldBe([ReferenceSetRules.CommonPractice]);
        _form
            .Changes.Single()
            .ShouldBe(
                new FigureChangeRow("moro", "Moro", "Latest limit", "6 months", "8 months", _form.Changes.Single().Sources),
                new ByWords()
            );
    }

    [Fact]
    public void ChangedFigure_WithAPickedSource_NamesItAndLeavesOthersAlone()
    {
        Type("moro", ScheduleFigure.Latest, "8");
        Figure("moro", ScheduleFigure.Latest).Pick("KUMC");

        _form.Check();

        var rule = _form.Candidate!.Find("moro")!.Rule;
        rule.Latest!.Sources.ShouldBe(["KUMC"]);
        rule.UsualThrough.ShouldBe(ReferenceSets.Default.Find("moro")!.Rule.UsualThrough);
        rule.Onset.ShouldBe(ReferenceSets.Default.Find("moro")!.Rule.Onset);
    }

    [Fact]
    public void Name_NotAKey_IsAFaultAtTheName()
    {
        Type("moro", ScheduleFigure.Latest, "8");
        _form.Name = "Lark field";

        _form.Check();

        _form.ProblemOf("name")!.ShouldContain("lower-case");
    }

    [Fact]
    public void Refusal_OfPublishing_StaysUntilTheNextChange()
    {
        _form.Refuse([new("reason", "Say why.")]);
        _form.ProblemOf("reason").ShouldBe("Say why.");

        _form.Check();

        _form.ProblemOf("reason").ShouldBeNull();
    }

    [Fact]
    public void EveryItem_OffersTheFiguresOfItsCourse()
    {
        foreach (var entry in _form.Items)
        {
            entry.ToFigures().ShouldBe(entry.Item.Rule);
            entry.Figures.Any(figure => figure.Figure == ScheduleFigure.UsualFrom).ShouldBe(entry.Item.Course == ItemCourse.GivesWay);
            entry.Figures.Any(figure => figure.Figure == ScheduleFigure.Ends).ShouldBe(entry.Item.Course == ItemCourse.Emerges);
        }
    }

    private ItemEntry Item(string id) => _form.Items.Single(entry => entry.Item.Id == id);

    private FigureEntry Figure(string id, ScheduleFigure figure) => Item(id).Figures.Single(entry => entry.Figure == figure);

    private void Type(string id, ScheduleFigure figure, string from, string? through = null)
    {
        Figure(id, figure).FromText = from;
        if (through is not null)
        {
            Figure(id, figure).ThroughText = through;
        }
    }

    private sealed class ByWords : IEqualityComparer<FigureChangeRow>
    {
        public bool Equals(FigureChangeRow? x, FigureChangeRow? y) =>
            (x?.Item, x?.Figure, x?.From, x?.To) == (y?.Item, y?.Figure, y?.From, y?.To);

        public int GetHashCode(FigureChangeRow obj) => 0;
    }
}
