using System.Globalization;
using System.Text;
using Caseload.Data.Papers;
using Caseload.Web.Platform.Summaries;
using CsCheck;
using CsvHelper;

namespace Caseload.Components.Tests.Papers;

public sealed class SummaryCsvTests
{
    /// <summary>The first characters are those of OWASP's page on CSV injection and of ASVS 5.0 V1.2.10; the others are ours.</summary>
    [Theory]
    [InlineData("=1+1", "'=1+1")]
    [InlineData("+49 30 123", "'+49 30 123")]
    [InlineData("-3 weeks", "'-3 weeks")]
    [InlineData("@home", "'@home")]
    [InlineData("\t=1+1", "'\t=1+1")]
    [InlineData("\r=1", "'\r=1")]
    [InlineData("\n=1", "'\n=1")]
    [InlineData("\0=1", "'\0=1")]
    [InlineData("=1,\"a\"", "'=1,\"a\"")]
    [InlineData(" =1", "' =1")]
    [InlineData("＝1", "'＝1")]
    [InlineData("", "")]
    [InlineData("Bramble-Moss, Juniper", "Bramble-Moss, Juniper")]
    [InlineData("שרה כהן", "שרה כהן")]
    [Trait("Requirement", "SEC-26")]
    public void Text_ThatCouldBeAFormula_GetsAnApostrophe(string text, string safe) => SafeText.Of(text).ShouldBe(safe);

    [Fact]
    public async Task Csv_OfAnyChildren_ReadsBackAsTheRows() =>
        await Gen.Select(Gen.String, Gen.String.Null(), Gen.String.Null(), Gen.Int[1, 400])
            .List[0, 12]
            .SampleAsync(
                async rows =>
                {
                    var children = rows.ConvertAll(row => SummarySamples.Child(row.Item4, row.Item1, row.Item2, row.Item3));
                    var table = Read(await SummarySamples.WriteAsync(SummarySamples.Of(children), SummaryFormat.Csv));
                    table.Count.ShouldBe(children.Count + 1);
                    var columns = SummaryCells.OfChildren(hasNames: true);
                    table[0].ShouldBe(columns.Select(column => column.Header));
                    for (var index = 0; index < children.Count; index++)
                    {
                        table[index + 1].ShouldBe(columns.Select(column => TextOf(column.Value(children[index]))));
                    }
                },
                iter: 200,
                threads: 1
            );

    [Fact]
    public async Task Csv_Always_HasIsoDatesPlainHeadersAndCrLf()
    {
        var text = Encoding.UTF8.GetString(
            await SummarySamples.WriteAsync(SummarySamples.Of([SummarySamples.FullChild(2)]), SummaryFormat.Csv)
        );

        text[0].ShouldBe('\uFEFF', "spreadsheet programs tell UTF-8 by it");
        var lines = text.TrimStart('\uFEFF').Split("\r\n");
        lines.Length.ShouldBe(3, "a header, a row, and the end of the last line (RFC 4180, section 2)");
        lines[2].ShouldBeEmpty();
        lines[0].ShouldStartWith("Code,Name,Date of birth,Age that counts,");
        lines[1].ShouldStartWith("K-002,\"Bramble, Juniper\",2026-01-05,");
        lines[1].ShouldContain("2026-11-03,2026-12-01");
        text.Replace("\r\n", "", StringComparison.Ordinal).ShouldNotContain('\n');
    }

    [Fact]
    public async Task Csv_WithoutNames_HasNeitherNameNorBirthDate()
    {
        var text = Encoding.UTF8.GetString(
            await SummarySamples.WriteAsync(
                SummarySamples.Of([SummarySamples.FullChild(2, name: null)], hasNames: false),
                SummaryFormat.Csv
            )
        );

        text.ShouldNotContain("Name");
        text.ShouldNotContain("Date of birth");
        text.ShouldNotContain("2026-01-05");
    }

    [Fact]
    public async Task Csv_OfNobody_IsItsHeader() =>
        Read(await SummarySamples.WriteAsync(SummarySamples.Of([]), SummaryFormat.Csv)).Count.ShouldBe(1);

    internal static List<List<string>> Read(byte[] csv)
    {
        var rows = new List<List<string>>();
        using var reader = CsvReader.Create(new MemoryStream(csv), CsvReaderOptions.Default with { HasHeader = false });
        while (reader.Read())
        {
            rows.Add([.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetString)]);
        }
        return rows;
    }

    internal static string TextOf(object? value) =>
        value switch
        {
            null => "",
            DateOnly on => on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
            int number => number.ToString(CultureInfo.InvariantCulture),
            _ => SafeText.Of((string)value),
        };
}
