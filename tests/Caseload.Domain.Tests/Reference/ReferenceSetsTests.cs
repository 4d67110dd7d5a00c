using System.Text.Json.Nodes;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Reference;

public sealed class ReferenceSetsTests
{
    [Fact]
    public void Read_WhenSetWasWritten_GivesItBackWhole()
    {
        var written = ReferenceSets.Write(ReferenceSets.Default);

        var read = ReferenceSets.Read(written).Value;

        ReferenceSets.Write(read).ShouldBe(written);
        read.Items.Select(item => item.Rule.Onset.From).ShouldBe(ReferenceSets.Default.Items.Select(item => item.Rule.Onset.From));
        read.Items.SelectMany(item => item.Figures).ShouldBe(ReferenceSets.Default.Items.SelectMany(item => item.Figures));
        read.Sources.ShouldBe(ReferenceSets.Default.Sources);
    }

    [Fact]
    public void Read_WhenSetHasTwoFaults_NamesBothWithTheirPlaces()
    {
        var json = JsonNode.Parse(ReferenceSets.Write(ReferenceSets.Default))!;
        var moro = json["items"]!.AsArray().Single(item => (string)item!["id"]! == "moro")!;
        moro["effort"] = 9;
        moro["rule"]!["latest"]!["months"] = 2;

        ReferenceSets.Read(json.ToJsonString()).Refusals.Select(refusal => refusal.Field).ShouldBe(["moro.effort", "moro.latest"]);
    }

    [Theory]
    [InlineData("course", "\"vanishes\"", "gives-way")]
    [InlineData("position", "\"upside-down\"", "supine")]
    public void Read_WhenAWordIsUnknown_ListsTheWords(string field, string value, string listed)
    {
        var json = JsonNode.Parse(ReferenceSets.Write(ReferenceSets.Default))!;
        json["items"]![2]![field] = JsonNode.Parse(value);

        var refusal = ReferenceSets.Read(json.ToJsonString()).Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe($"$.items[2].{field}");
        refusal.Message.ShouldContain("is not one of: ");
        refusal.Message.ShouldContain(listed);
    }

    [Theory]
    [InlineData("name")]
    [InlineData("stimulus")]
    [InlineData("rule")]
    public void Read_WhenAPropertyIsMissing_NamesIt(string property)
    {
        var json = JsonNode.Parse(ReferenceSets.Write(ReferenceSets.Default))!;
        json["items"]![2]!.AsObject().Remove(property);

        ReferenceSets.Read(json.ToJsonString()).Refusals.ShouldHaveSingleItem().Message.ShouldContain(property);
    }

    [Theory]
    [InlineData("null")]
    [InlineData("{")]
    [InlineData("")]
    [InlineData("[]")]
    public void Read_WhenTextIsNoSet_Refuses(string json) =>
        ReferenceSets.Read(json).Refusals.ShouldHaveSingleItem().Message.ShouldStartWith("The file is");

    [Theory]
    [InlineData("items")]
    [InlineData("sources")]
    [InlineData("concerns")]
    public void Read_WhenAListHasAHole_NamesTheList(string list)
    {
        var json = JsonNode.Parse(ReferenceSets.Write(ReferenceSets.Default))!;
        json[list]!.AsArray().Add((JsonNode?)null);

        ReferenceSets.Read(json.ToJsonString()).Refusals.ShouldHaveSingleItem().Field.ShouldBe(list);
    }
}
