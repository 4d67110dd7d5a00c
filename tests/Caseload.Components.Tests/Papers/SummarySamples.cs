using Caseload.Domain.Ages;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Web.Platform.Summaries;

namespace Caseload.Components.Tests.Papers;

/// <summary>Summaries made by hand.</summary>
internal static class SummarySamples
{
    internal static readonly DateOnly AsOfOn = Samples.Day("2026-11-25");

    internal static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Dublin");

    internal static SummaryItem Item(
        string name,
        ItemState state = ItemState.PresentAsExpected,
        Concern concern = Concern.None,
        int step = 0,
        string? checkThrough = null
    ) =>
        new(
            name,
            state,
            step,
            false,
            Samples.Day("2026-10-01"),
            concern,
            Samples.Day("2026-09-01"),
            null,
            checkThrough is null
                ? null
                : new PlannedCheck(new(Samples.Day(checkThrough).AddDays(-7), Samples.Day(checkThrough)), CheckPurpose.Recheck)
        );

    internal static SummaryChild Child(
        int number,
        string? name = "Bramble, Juniper",
        string? clinician = "Odette Fennimore",
        string? zone = "Lakes",
        IReadOnlyList<SummaryItem>? items = null,
        IReadOnlyList<SummaryAlert>? alerts = null,
        IReadOnlyList<SummaryIntegrated>? integrated = null
    )
    {
        var all = items ?? [];
        return new SummaryChild
        {
            Id = Samples.Id(number),
            Code = FormattableString.Invariant($"K-{number:000}"),
            Name = name,
            BornOn = name is null ? null : Samples.Day("2026-01-05"),
            Ages = ChildAges.Of(Samples.Preterm, AsOfOn, ReviewPolicy.Default),
            Clinician = clinician,
            Zone = zone,
            LastVisitOn = Samples.Day("2026-11-03"),
            NextVisitOn = number % 2 == 0 ? Samples.Day("2026-12-01") : null,
            Items = all,
            Alerts = alerts ?? [],
            Integrated = integrated ?? [],
            Checks = [.. all.Where(item => item.Check is not null)],
        };
    }

    /// <summary>A child that has something of everything.</summary>
    internal static SummaryChild FullChild(int number, string? name = "Bramble, Juniper") =>
        Child(
            number,
            name,
            items:
            [
                Item("Moro", ItemState.Persisting, Concern.Act, step: 2, checkThrough: "2026-12-03"),
                Item("Rooting", checkThrough: "2026-11-20"),
                Item("Landau", ItemState.Integrated),
            ],
            alerts: [new SummaryAlert(AlertKind.Persisting, 2, "Moro", Concern.Act, Samples.Day("2026-10-01"), 12)],
            integrated: [new SummaryIntegrated("Landau", Samples.Day("2026-11-10"))]
        );

    internal static CaseloadSummary Of(IReadOnlyList<SummaryChild> children, bool hasNames = true) =>
        new(
            new SummaryHead(
                "Larkfield (invented)",
                new SummaryAsk(AsOfOn, AsOfOn.AddDays(-28)),
                "All clinicians",
                "Isadora Plumtree",
                new DateTimeOffset(2026, 11, 25, 9, 30, 0, TimeSpan.Zero),
                "published@1",
                hasNames
            ),
            children,
            SummaryFigures.Of(children)
        );

    internal static IReadOnlyList<SummaryChild> Many(int count) => [.. Enumerable.Range(1, count).Select(number => FullChild(number))];

    internal static async Task<byte[]> WriteAsync(CaseloadSummary summary, Data.Papers.SummaryFormat format)
    {
        using var stream = new MemoryStream();
        await SummaryFile.WriteAsync(summary, format, Zone, stream, null, TestContext.Current.CancellationToken);
        return stream.ToArray();
    }
}
