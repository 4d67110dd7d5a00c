using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Web.Platform.Reports;

namespace Caseload.Components.Tests.Papers;

/// <summary>Reports whose standings the rules worked out.</summary>
internal static class ReportSamples
{
    internal static ChildReport Of(BirthFacts birth, string on, params Finding[] findings)
    {
        var asOfOn = Samples.Day(on);
        var results = Samples.Interpreter.Interpret(new ChildFacts(birth), findings, asOfOn);
        var standing = StandingFindings.Of(findings).ToList();
        return new ChildReport
        {
            ChildId = Samples.Id(1),
            Programme = "Larkfield (invented)",
            Code = "K-001",
            Name = "Juniper Bramble",
            GivenName = "Juniper",
            Language = null,
            Birth = birth,
            AnchorOn = birth.AnchorOn(ReviewPolicy.Default.CorrectBelowDays),
            Ages = ChildAges.Of(birth, asOfOn, ReviewPolicy.Default),
            IsClosed = false,
            Clinician = "Odette Fennimore",
            Exclusions = ["Reflux, from 1 Mar 2026, still holds"],
            RuledOut = new HashSet<string>(),
            NextVisitOn = asOfOn.AddDays(9),
            Concerns = ["Head control"],
            Results = [.. results.OrderByDescending(result => result.Verdict.Concern)],
            Standing = standing,
            Findings =
            [
                .. standing.Select(finding => new ReportFinding(
                    finding.ObservedOn,
                    Samples.Item(finding.Item).Name,
                    "Both sides",
                    finding.Response.ToString()!,
                    "Quiet, alert",
                    "Odette Fennimore",
                    null
                )),
            ],
            Alerts =
            [
                new ReportAlert(
                    "Moro: still there past the usual age",
                    Concern.Advisory,
                    asOfOn.AddDays(-9),
                    IsClosed: false,
                    "Acted on",
                    [new ReportStep(asOfOn.AddDays(-2), "Told the physician", "Odette Fennimore", "By telephone")]
                ),
            ],
            Visits = [new ReportVisit(asOfOn.AddDays(-9), "Odette Fennimore", "Home", standing.Count)],
            Sources = [.. ReferenceSets.Default.Sources.Take(2)],
            SetKey = "published@1",
            MadeBy = "Isadora Plumtree",
            MadeAt = new DateTimeOffset(2026, 11, 25, 9, 30, 0, TimeSpan.Zero),
        };
    }

    /// <summary>Children whose items stand in every way in which an item that was looked at can stand.</summary>
    internal static IReadOnlyList<ChildReport> All { get; } =
    [
        Of(Samples.Term, "2026-09-01"),
        // Persisting, integrated, fading, one-sided, obligatory, returned, an absence once and twice, emerging and established.
        Of(
            Samples.Term,
            "2026-09-01",
            Samples.Seen("moro", "2026-08-20", Response.Typical),
            Samples.Seen("palmar_grasp", "2026-01-20", Response.Typical),
            Samples.Seen("palmar_grasp", "2026-07-01", Response.Absent),
            Samples.Seen("palmar_grasp", "2026-07-20", Response.Absent),
            Samples.Seen("atnr", "2026-08-20", Response.Obligatory),
            Samples.Seen("galant", "2026-05-01", Response.Typical, Side.Left),
            Samples.Seen("galant", "2026-05-01", Response.Absent, Side.Right),
            Samples.Seen("rooting", "2026-05-01", Response.Absent),
            Samples.Seen("rooting", "2026-05-20", Response.Absent),
            Samples.Seen("rooting", "2026-08-01", Response.Typical),
            Samples.Seen("stepping", "2026-05-01", Response.Absent),
            Samples.Seen("plantar_grasp", "2026-08-20", Response.Weak),
            Samples.Seen("landau", "2026-08-20", Response.Partial),
            Samples.Seen("optical_righting", "2026-08-20", Response.Complete),
            Samples.Seen("labyrinthine_righting", "2026-08-20", Response.Absent)
        ),
        Of(
            Samples.Preterm,
            "2026-04-01",
            Samples.Seen("moro", "2026-03-20", Response.Typical),
            Samples.Seen("suck_swallow", "2026-03-20", Response.Absent)
        ),
        Of(
            Samples.Preterm,
            "2026-09-01",
            [
                .. ReferenceSets.Default.Items.Select(item => Seen(item, "2026-06-01")),
                .. ReferenceSets.Default.Items.Select(item => Seen(item, "2026-08-20")),
            ]
        ),
    ];

    private static Finding Seen(ReferenceItem item, string on) =>
        Samples.Seen(item.Id, on, item.Course == ItemCourse.Emerges ? Response.Complete : Response.Typical);
}
