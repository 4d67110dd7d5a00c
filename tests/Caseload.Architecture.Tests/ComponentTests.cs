using System.Reflection;
using System.Runtime.CompilerServices;
using ArchUnitNET.Domain;
using Caseload.Web.Components.Layout;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Routing;
using Assembly = System.Reflection.Assembly;

namespace Caseload.Architecture.Tests;

/// <summary>What every component keeps to, and the list of pages.</summary>
public sealed class ComponentTests
{
    /// <summary>Every address and what answers there. A new page is added here on purpose.</summary>
    private static readonly (string Route, string Page, bool IsStatic)[] _pages =
    [
        ("/", "DuePage", false),
        ("/account", "AccountPage", true),
        ("/account/authenticator", "AuthenticatorPage", true),
        ("/account/authenticator/remove", "RemoveAuthenticatorPage", true),
        ("/account/code", "CodePage", true),
        ("/account/external", "ExternalPage", true),
        ("/account/passkeys", "PasskeysPage", true),
        ("/account/password", "PasswordPage", true),
        ("/account/recovery-codes", "RecoveryCodesPage", true),
        ("/account/second-factor", "SecondFactorPage", true),
        ("/account/sign-in", "SignInPage", true),
        ("/account/signed-out", "SignedOutPage", true),
        ("/alerts", "AlertsPage", false),
        ("/children", "ChildrenPage", false),
        ("/matrix", "MatrixPage", false),
        ("/children/new", "ChildFormPage", false),
        ("/children/{ChildId:guid}", "ChildPage", false),
        ("/children/{ChildId:guid}/edit", "ChildFormPage", false),
        ("/children/{ChildId:guid}/family", "FamilyPageView", false),
        ("/children/{ChildId:guid}/report", "ReportPage", false),
        ("/children/by-reason", "ReachPage", false),
        ("/digests", "DigestPage", false),
        ("/digests/{DigestId:guid}", "DigestPage", false),
        ("/error", "ErrorPage", true),
        ("/jobs", "JobsPage", false),
        ("/mail", "MailPage", false),
        ("/mail/mine", "OwnMailPage", false),
        ("/mail/mine/{Id:guid}", "OwnMessagePage", false),
        ("/mail/stop/{Secret}", "MailStopPage", true),
        ("/not-found", "NotFoundPage", true),
        ("/people", "PeoplePage", false),
        ("/people/{PersonId:guid}", "PersonPage", false),
        ("/people/access", "AccessReportPage", false),
        ("/people/new", "PersonPage", false),
        ("/programme", "ProgrammePage", false),
        ("/record", "RecordPage", false),
        ("/reference", "ReferencePage", false),
        ("/reference/{ItemId}", "ReferenceItemPage", false),
        ("/reference/concerns", "ConcernsPage", false),
        ("/reference/edit", "ReferenceEditPage", false),
        ("/reference/sources", "SourcesPage", false),
        ("/reference/versions", "VersionsPage", false),
        ("/setup/{Secret}", "SetupPage", true),
        ("/summary", "SummaryPage", false),
        ("/team", "TeamPage", false),
        ("/team/away", "CoverPage", false),
        ("/team/suggest", "SuggestPage", false),
        ("/team/numbers", "NumbersPage", false),
        ("/visits/plan", "PlanPage", false),
        ("/visits/{Id:guid}", "VisitPage", false),
        ("/visits/new", "StartVisitPage", false),
        ("/welcome", "WelcomePage", true),
        ("/welcome/{Secret}", "WelcomePage", true),
    ];

    [Fact]
    public void Pages_Always_AreTheListedOnes() =>
        RoutesOf(House.ReflectedFrom(House.Web))
            .Order()
            .ShouldBe(_pages.Select(page => Describe(page.Route, page.Page, page.IsStatic)).Order());

    [Fact]
    public void Page_WhenPlanted_IsInTheTable() =>
        RoutesOf(House.ReflectedPlanted("Components")).ShouldBe(["/planted PlantedPage static", "/planted/{Id:guid} PlantedPage static"]);

    [Fact]
    [Trait("Requirement", "SEC-23")]
    public void RawMarkup_Always_ComesFromTheListedDrawings() =>
        Repository
            .Razor.Where(file => file.Text.Contains("MarkupString", StringComparison.Ordinal))
            .Select(file => file.Path)
            .ShouldBeOnly(
                ("src/Caseload.Web/Features/Due/DueChildCard.razor", "a state's mark: shapes from a list of our own, no text"),
                ("src/Caseload.Web/Features/Matrix/MatrixPage.razor", "states' marks: shapes from a list of our own, no text"),
                ("src/Caseload.Web/Features/Numbers/CurveView.razor", "a drawing whose writer escapes every text"),
                ("src/Caseload.Web/Features/Reference/SourcePlot.razor", "a drawing whose writer escapes every text"),
                ("src/Caseload.Web/Features/Summary/SummaryTable.razor", "a bar: numbers and colours of our own, no text"),
                ("src/Caseload.Web/Ui/StateChip.razor", "a state's mark: shapes from a list of our own, no text"),
                ("src/Caseload.Web/Ui/Timeline/TimelineView.razor", "a drawing whose writer escapes every text")
            );

    [Fact]
    public void StaticPages_Always_StandInThePlainFrame() => StaticPagesInTheOfficeFrame(House.ReflectedFrom(House.Web)).ShouldBeEmpty();

    [Fact]
    public void StaticPage_WhenPlantedInTheOfficeFrame_IsCaught() =>
        StaticPagesInTheOfficeFrame(House.ReflectedPlanted("Components")).ShouldBe(["PlantedPage"]);

    [Fact]
    public void AsyncMethods_Always_ReturnSomethingToWaitFor() =>
        AsyncVoids([.. House.Domain.GetTypes(), .. House.Data.GetTypes(), .. House.Web.GetTypes(), .. House.DemoSeed.GetTypes()])
            .ShouldBeEmpty();

    [Fact]
    public void AsyncVoid_WhenPlanted_IsCaught() =>
        // Lambdas live in types that the compiler names, so these are all types of the test assembly.
        AsyncVoids(House.Tests.GetTypes())
            .ShouldBe(["BreaksTheRulesComponent.FireAndForget", "BreaksTheRulesComponent.Subscribe"], ignoreOrder: true);

    [Fact]
    public void Parameters_Always_CallBackThroughEventCallbacks() => DelegateParameters(House.ReflectedFrom(House.Web)).ShouldBeEmpty();

    [Fact]
    public void DelegateParameter_WhenPlanted_IsCaught() =>
        DelegateParameters(House.ReflectedPlanted("Components"))
            .ShouldBe(["BreaksTheRulesComponent.OnChange", "BreaksTheRulesComponent.TextOf"], ignoreOrder: true);

    [Fact]
    public void Parameters_Always_AreSetFromOutsideOnly() => OwnAssignments(House.TypesOf(House.Web), House.Web).ShouldBeEmpty();

    [Fact]
    public void OwnAssignment_WhenPlanted_IsCaught() =>
        OwnAssignments(House.TypesIn(House.Planted + ".Components"), House.Tests)
            .ShouldBeOnly(
                ("BreaksTheRulesComponent.Value", "planted: overwritten when the parent renders again"),
                ("BreaksTheRulesComponent.Count", "planted: overwritten in a lambda of an async method")
            );

    internal static bool IsComponent(IType type) =>
        Array.Exists([House.Web, House.Tests], assembly => assembly.GetType(type.FullName) is { } reflected && IsComponent(reflected));

    private static bool IsComponent(Type type) => type is { IsAbstract: false } && type.IsAssignableTo(typeof(IComponent));

    private static string Describe(string route, string page, bool isStatic) => $"{route} {page} {(isStatic ? "static" : "on a circuit")}";

    private static bool IsStatic(Type page) => page.IsDefined(typeof(ExcludeFromInteractiveRoutingAttribute));

    private static IEnumerable<string> RoutesOf(IEnumerable<Type> types) =>
        types
            .Where(IsComponent)
            .SelectMany(page =>
                page.GetCustomAttributes<RouteAttribute>().Select(route => Describe(route.Template, page.Name, IsStatic(page)))
            )
            .Order();

    // The office frame is made of components that need a circuit.
    private static IEnumerable<string> StaticPagesInTheOfficeFrame(IEnumerable<Type> types) =>
        types
            .Where(type => IsComponent(type) && type.IsDefined(typeof(RouteAttribute)) && IsStatic(type))
            .Where(page => page.GetCustomAttribute<LayoutAttribute>()?.LayoutType != typeof(PlainLayout))
            .Select(page => page.Name);

    private static IEnumerable<string> AsyncVoids(IEnumerable<Type> types) =>
        types.SelectMany(type =>
            type.GetMethods(
                    BindingFlags.Instance | BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly
                )
                .Where(method => method.ReturnType == typeof(void) && method.IsDefined(typeof(AsyncStateMachineAttribute)))
                .Select(method => $"{WrittenType(type).Name}.{WrittenName(method.Name)}")
        );

    private static Type WrittenType(Type type) => type.Name.Contains('<') ? WrittenType(type.DeclaringType!) : type;

    private static string WrittenName(string name) => name.Split('<', '>') is [_, var written, ..] ? written : name;

    private static IEnumerable<PropertyInfo> ParametersOf(Type component) =>
        component.GetProperties().Where(property => property.IsDefined(typeof(ParameterAttribute)));

    private static IEnumerable<string> DelegateParameters(IEnumerable<Type> types) =>
        types
            .Where(IsComponent)
            .SelectMany(ParametersOf)
            .Where(property => property.PropertyType.IsAssignableTo(typeof(Delegate)) && property.PropertyType != typeof(RenderFragment))
            .Where(property =>
                !property.PropertyType.IsGenericType || property.PropertyType.GetGenericTypeDefinition() != typeof(RenderFragment<>)
            )
            .Select(property => $"{property.DeclaringType!.Name}.{property.Name}");

    private static IEnumerable<string> OwnAssignments(IEnumerable<IType> types, Assembly assembly) =>
        types
            .Where(IsComponent)
            .SelectMany(type =>
                ParametersOf(assembly.GetType(type.FullName)!)
                    .Where(property => House.CallsOf(type).Any(call => call.To.Contains($"{type.FullName}::set_{property.Name}(")))
                    .Select(property => $"{type.Name}.{property.Name}")
            );
}
