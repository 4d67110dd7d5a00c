using System.Text.RegularExpressions;
using Caseload.Web.Ui;

namespace Caseload.Components.Tests.Record;

public sealed class AccessWordsTests
{
    [Theory]
    [InlineData("child-opened", AccessGroup.Looked)]
    [InlineData("visit-opened", AccessGroup.Looked)]
    [InlineData("children-listed", AccessGroup.Looked)]
    [InlineData("due-listed", AccessGroup.Looked)]
    [InlineData("looks-listed", AccessGroup.Looked)]
    [InlineData("alerts-listed", AccessGroup.Looked)]
    [InlineData("alert-opened", AccessGroup.Looked)]
    [InlineData("signs-listed", AccessGroup.Looked)]
    [InlineData("alert-acknowledged", AccessGroup.Changed)]
    [InlineData("alert-policy-saved", AccessGroup.Changed)]
    [InlineData("sign-recorded", AccessGroup.Changed)]
    [InlineData("child-edited", AccessGroup.Changed)]
    [InlineData("child-destroyed", AccessGroup.Changed)]
    [InlineData("finding-corrected", AccessGroup.Changed)]
    [InlineData("policy-saved", AccessGroup.Changed)]
    [InlineData("child-exported", AccessGroup.Exported)]
    [InlineData("record-exported", AccessGroup.Exported)]
    [InlineData("people-printed", AccessGroup.Exported)]
    [InlineData("reach-by-reason", AccessGroup.ReachedByReason)]
    [InlineData("reach-refused", AccessGroup.ReachedByReason)]
    [InlineData("signed-in", AccessGroup.SignedIn)]
    [InlineData("sign-in-failed", AccessGroup.SignedIn)]
    [InlineData("invitation-accepted", AccessGroup.PeopleAndRights)]
    [InlineData("second-factor-added", AccessGroup.PeopleAndRights)]
    [InlineData("identity-linked", AccessGroup.PeopleAndRights)]
    [InlineData("first-administrator-added", AccessGroup.PeopleAndRights)]
    [InlineData("denied", AccessGroup.Denied)]
    [InlineData("record-verified", AccessGroup.TheRecordItself)]
    [InlineData("something-nobody-described", AccessGroup.Changed)]
    public void Word_Always_IsInExactlyOneGroup(string what, AccessGroup group)
    {
        var matching = AccessWords
            .Groups.Select(entry => entry.Group)
            .Where(candidate => AccessWords.PatternOf(candidate) is { } pattern && Matches(pattern, what))
            .ToList();

        matching.ShouldBe(group == AccessGroup.Changed ? [] : [group]);
        Matches(AccessWords.NotChanged, what).ShouldBe(group != AccessGroup.Changed);
    }

    [Fact]
    public void Groups_Always_OfferEveryGroupOnce() =>
        AccessWords.Groups.Select(entry => entry.Group).ShouldBe(Enum.GetValues<AccessGroup>(), ignoreOrder: true);

    [Theory]
    [InlineData("denied", """{"permission":"manage-people"}""", "Was not allowed: manage people")]
    [InlineData("denied", "{}", "Was not allowed: something")]
    [InlineData("children-listed", """{"children":["a"]}""", "Saw 1 child in a list")]
    [InlineData("due-listed", """{"children":["a","b"]}""", "Saw 2 children in the list of what is due")]
    [InlineData("alerts-listed", """{"children":["a","b"]}""", "Saw 2 children in the list of alerts")]
    [InlineData("alert-acted-on", "{}", "Said what was done about an alert")]
    [InlineData("child-opened", "{}", "Opened the child's record")]
    [InlineData("something-new", "{}", "Something new")]
    public void Sentence_Always_IsPlain(string what, string detail, string sentence) =>
        AccessWords.Sentence(what, detail).ShouldBe(sentence);

    [Theory]
    [InlineData("own-caseload", "Own caseload")]
    [InlineData("cover", "Covering for a colleague")]
    [InlineData("another-reason", "Another reason")]
    [InlineData(null, "–")]
    public void Reason_Always_IsPlain(string? why, string text) => AccessWords.Reason(why).ShouldBe(text);

    private static bool Matches(string pattern, string what) => Regex.IsMatch(what, pattern, RegexOptions.None, TimeSpan.FromSeconds(1));
}
