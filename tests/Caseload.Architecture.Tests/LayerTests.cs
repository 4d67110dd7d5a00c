using System.Text.RegularExpressions;
using ArchUnitNET.Domain;
using ArchUnitNET.Fluent.Slices;
using Caseload.Data;
using Caseload.Data.Setup;

namespace Caseload.Architecture.Tests;

/// <summary>Who may know whom.</summary>
public sealed partial class LayerTests
{
    private const string Features = "Caseload.Web.Features";

    [Fact]
    public void Projects_Always_PointDownwards() =>
        Repository
            .Projects.Where(project => project.IsIn("src") || project.IsIn("demo-seed"))
            .SelectMany(project =>
                ProjectReference()
                    .Matches(project.Text)
                    .Select(match => Path.GetFileNameWithoutExtension(project.Path) + " > " + match.Groups["name"].Value)
            )
            .ShouldBeOnly(
                ("Caseload.Data > Caseload.Domain", "the store keeps what the domain decides"),
                ("Caseload.DemoSeed > Caseload.Data", "the demo is made through the store and the domain"),
                ("Caseload.Explain > Caseload.Domain", "the engine by itself, without a store"),
                ("Caseload.Optimiser > Caseload.Domain", "the search answers a question that the domain states"),
                ("Caseload.Web > Caseload.Data", "handlers load and save"),
                ("Caseload.Web > Caseload.DemoSeed", "the host loads the demo when it is started with --demo"),
                ("Caseload.Web > Caseload.Optimiser", "the team lead asks for proposals")
            );

    [Fact]
    public void Data_Always_KnowsNothingOfTheWeb() =>
        UsesOfTheWeb(House.TypesOf(House.Data).Concat(House.TypesOf(House.DemoSeed))).ShouldBeEmpty();

    [Fact]
    public void UseOfTheWeb_WhenPlantedInData_IsCaught() =>
        UsesOfTheWeb(House.TypesIn(House.Planted + ".Data"))
            .ShouldBeOnly(
                ("FormatsForTheScreen > Caseload.Web.Ui.Dates", "planted: calls the screens' way to write dates"),
                ("StoresATheme > MudBlazor.MudTheme", "planted: knows the component library")
            );

    [Fact]
    public void Store_Always_IsOpenedOnlyByHandlersAndThePlatform() =>
        UsesOfTheStore(House.TypesOf(House.Web), "Caseload.Web.Platform").ShouldBeEmpty();

    [Fact]
    public void UseOfTheStore_WhenPlanted_IsCaught()
    {
        var found = UsesOfTheStore(House.TypesIn(House.Planted), "Caseload.Web.Platform").ToList();

        found.ShouldContain("ReadsTheStoreComponent > Caseload.Data.CaseloadDb");
        found.ShouldContain("ReadsTheStoreComponent > Microsoft.EntityFrameworkCore.EntityFrameworkQueryableExtensions");
        found.ShouldContain("HoldsAContext > Caseload.Data.CaseloadDbContext");
        found.ShouldNotContain(use => use.StartsWith("AllowedHandler "));
    }

    [Fact]
    public void StoredRows_Always_StayInHandlers() =>
        UsesOfRows(House.TypesOf(House.Web), "Caseload.Web.Platform")
            .ShouldBeOnly(
                (
                    "CareForm > Caseload.Data.Children.Child",
                    "CareForm is the part of ChildForm that says who can see the child; the same handlers call it inside their contexts"
                ),
                (
                    "ChildForm > Caseload.Data.Children.Child",
                    "ChildForm.Of copies a stored child into the form; GetChildFormHandler calls it inside its context"
                )
            );

    [Fact]
    public void StoredRow_WhenPlantedOutsideAHandler_IsCaught()
    {
        var found = UsesOfRows(House.TypesIn(House.Planted), "Caseload.Web.Platform").ToList();

        found.ShouldContain("ShowsAStoredChildComponent > Caseload.Data.Children.Child");
        found.ShouldContain("RowWithAStoredVisit > Caseload.Data.Visits.Visit");
        found.ShouldNotContain(use => use.StartsWith("AllowedHandler "));
    }

    [Fact]
    public void Components_Always_KnowOnlyTheActorAndPlainValuesOfTheData() =>
        UsesOfDataByComponents(House.TypesOf(House.Web)).ShouldBeEmpty();

    [Fact]
    public void UseOfData_WhenPlantedInAComponent_IsCaught() =>
        UsesOfDataByComponents(House.TypesIn(House.Planted))
            .ShouldBeOnly(
                ("ReadsTheStoreComponent > Caseload.Data.CaseloadDb", "planted: an injected store"),
                ("ReadsTheStoreComponent > Caseload.Data.CaseloadDbContext", "planted: a context in an async method"),
                ("ReadsTheStoreComponent > Caseload.Data.Children.Child", "planted: a query in an async method"),
                ("ShowsAStoredChildComponent > Caseload.Data.Children.Child", "planted: a stored row as parameter")
            );

    [Fact]
    public void Slices_Always_KnowNoOtherSlice()
    {
        CrossSliceUses(House.TypesIn(Features)).ShouldBeEmpty();
        SliceRuleDefinition.Slices().Matching(Features + ".(*)").Should().NotDependOnEachOther().HasNoViolations(House.All).ShouldBeTrue();
    }

    [Fact]
    public void UseOfAnotherSlice_WhenPlanted_IsCaught()
    {
        CrossSliceUses(House.TypesIn(House.Planted + ".Features"))
            .ShouldBeOnly(("First.BorrowsFromSecondHandler > Second", "planted: a handler that takes another slice's row"));
        SliceRuleDefinition
            .Slices()
            .Matching(House.Planted + ".Features.(*)")
            .Should()
            .NotDependOnEachOther()
            .HasNoViolations(House.All)
            .ShouldBeFalse();
    }

    [Fact]
    public void FrameAndWrappers_Always_KnowNoSlice() =>
        UsesOfSlices(House.TypesOf(House.Web).Where(type => !House.IsIn(type, Features)))
            .ShouldBeOnly(
                (
                    "MainLayout > Caseload.Web.Features.Programmes.GetProgrammeBannerHandler",
                    "the frame shows the programme's name above every page; a layout belongs to no slice"
                ),
                (
                    "MainLayout > Caseload.Web.Features.Alerts.AlertsBadge",
                    "the frame shows the number of open alerts beside their entry in the navigation"
                ),
                (
                    "ChildAlerts > Caseload.Web.Features.Alerts.AlertsPanel",
                    "hands the alerts' panel to the child's page, so that the two slices need not know each other"
                ),
                (
                    "ChildSigns > Caseload.Web.Features.Children.SignsPanel",
                    "hands the signs' panel to the visit's page, so that the two slices need not know each other"
                ),
                ("MainLayout > Caseload.Web.Features.Programmes.GetProgrammeBanner", "the question to that handler"),
                ("MainLayout > Caseload.Web.Features.Programmes.ProgrammeBanner", "the answer of that handler, a record for the screen")
            );

    [Fact]
    public void UseOfASlice_WhenPlantedInAWrapper_IsCaught() =>
        UsesOfSlices(House.TypesIn(House.Planted + ".Ui"))
            .ShouldBeOnly(
                ("KnowsAFeature > Caseload.Web.Features.Due.DueLine", "planted: a wrapper for every page that knows one page's row")
            );

    [GeneratedRegex("""<ProjectReference Include="[^"]*?(?<name>[A-Za-z.]+)\.csproj" """, RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex ProjectReference();

    private static IEnumerable<string> Uses(IEnumerable<IType> types, Func<string, bool> isForbidden) =>
        types.SelectMany(type => House.TargetsOf(type).Where(isForbidden).Select(target => $"{type.Name} > {target}")).Distinct();

    private static IEnumerable<string> UsesOfTheWeb(IEnumerable<IType> types) =>
        Uses(
            types,
            target =>
                new[] { "Caseload.Web.", "Microsoft.AspNetCore.", "MudBlazor." }.Any(space =>
                    target.StartsWith(space, StringComparison.Ordinal)
                )
        );

    /// <summary>Uses of a context, of what makes one, or of the libraries under it.</summary>
    private static IEnumerable<string> UsesOfTheStore(IEnumerable<IType> types, string platform) =>
        Uses(
            types.Where(type => !MayUseTheStore(type, platform)),
            target =>
                target is "Caseload.Data.CaseloadDb" or "Caseload.Data.CaseloadDbContext"
                || target.StartsWith("Microsoft.EntityFrameworkCore.", StringComparison.Ordinal)
                || target.StartsWith("Npgsql.", StringComparison.Ordinal)
        );

    private static IEnumerable<string> UsesOfRows(IEnumerable<IType> types, string platform) =>
        Uses(types.Where(type => !MayUseTheStore(type, platform)), StoreTests.EntityNames.Contains);

    private static bool MayUseTheStore(IType type, string platform) =>
        House.OuterName(type).EndsWith("Handler", StringComparison.Ordinal)
        || House.OuterName(type).EndsWith("Job", StringComparison.Ordinal)
        || House.IsIn(type, platform);

    /// <summary>Enumerations are values of the trade's vocabulary; the actor and the text limits are plain values as well.</summary>
    private static IEnumerable<string> UsesOfDataByComponents(IEnumerable<IType> types)
    {
        var values = House
            .Data.GetTypes()
            .Where(type => type.IsEnum)
            .Append(typeof(Actor))
            .Append(typeof(TextLimits))
            .Select(type => type.FullName);
        return Uses(
            types.Where(ComponentTests.IsComponent),
            target => target.StartsWith(typeof(CaseloadDb).Namespace + ".", StringComparison.Ordinal) && !values.Contains(target)
        );
    }

    private static IEnumerable<string> CrossSliceUses(IEnumerable<IType> types) =>
        types
            .SelectMany(type => House.TargetsOf(type).Select(target => (type.Name, From: SliceOf(type.FullName), To: SliceOf(target))))
            .Where(use => use.To is not null && use.From != use.To)
            .Select(use => $"{use.From}.{use.Name} > {use.To}")
            .Distinct();

    private static IEnumerable<string> UsesOfSlices(IEnumerable<IType> types) =>
        Uses(types, target => target.StartsWith(Features + ".", StringComparison.Ordinal));

    private static string? SliceOf(string fullName) => fullName.Split(".Features.") is [_, var rest] ? rest.Split('.', '+')[0] : null;
}
