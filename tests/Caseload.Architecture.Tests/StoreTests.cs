using System.Reflection;
using Caseload.Data;
using Caseload.Data.Setup;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;

namespace Caseload.Architecture.Tests;

/// <summary>Programmes are kept apart and no save is lost: read from the model itself, without a server.</summary>
public sealed class StoreTests
{
    private static readonly Lazy<IModel> _model = new(() =>
    {
        using var context = new DesignTimeContextFactory().CreateDbContext([]);
        return context.Model;
    });

    /// <summary>Full names of the types that are stored.</summary>
    internal static IReadOnlySet<string> EntityNames { get; } =
        _model.Value.GetEntityTypes().Select(entity => entity.ClrType.FullName!).ToHashSet();

    [Fact]
    public void Entities_Always_BelongToAProgramme() =>
        Unowned(_model.Value)
            .ShouldBeOnly(
                ("ProtectionKey", "keys protect cookies of every programme, before anybody has signed in"),
                ("SetupLink", "the link that makes the first programme cannot belong to one")
            );

    [Fact]
    public void Entity_WhenPlantedWithoutAProgramme_IsCaught() =>
        Unowned(Offenders.Store.PlantedContext.CreateModel()).ShouldBe(["OwnedByNobody"]);

    [Fact]
    public void Entities_Always_AreFilteredByProgramme() =>
        Unfiltered(_model.Value)
            .ShouldBeOnly(
                ("ProtectionKey", "belongs to the installation; holds nothing of any programme"),
                ("SetupLink", "belongs to the installation; is gone once there is a programme")
            );

    [Fact]
    public void Entity_WhenPlantedWithoutTheFilter_IsCaught() =>
        Unfiltered(Offenders.Store.PlantedContext.CreateModel())
            .ShouldBeOnly(
                ("FilteredByAnotherName", "planted: a filter that is not the one that is checked and lifted by name"),
                ("FilteredByNothing", "planted: owned by a programme, seen by all"),
                ("FilteredByAConstant", "planted: the right name over a filter that never asks for the programme")
            );

    [Fact]
    public void Entities_Always_AreConfiguredByAClassOfTheirOwn() => Unconfigured(_model.Value, House.Data).ShouldBeEmpty();

    [Fact]
    public void Entity_WhenPlantedWithoutAConfiguration_IsCaught() =>
        Unconfigured(Offenders.Store.PlantedContext.CreateModel(), House.Tests)
            .ShouldBeOnly(
                ("FilteredByAnotherName", "planted: left to the conventions"),
                ("FilteredByNothing", "planted: left to the conventions"),
                ("FilteredByAConstant", "planted: left to the conventions")
            );

    [Fact]
    public void Entities_WhenTheyMayChange_HaveARowVersion() =>
        Unversioned(_model.Value)
            .ShouldBeOnly(
                ("AccessChainHead", "written by the database alone, under a row lock"),
                ("ChildTombstone", "written once, by the database alone"),
                ("ProtectionKey", "written once, by the framework's key ring"),
                ("SetupLink", "never changed; used up by deleting it, which counts the rows"),
                ("ChildStatus", "a derived row, rewritten only while its child's row is locked"),
                ("JobRun", "written by one process at a time: every write asks whether its attempt still holds the run"),
                ("OutgoingMessage", "sent by one process at a time: every write but that it was sent asks whether its claim still stands"),
                ("ItemStatus", "derived rows, rewritten only while their child's row is locked"),
                ("ChildCodeCounter", "one number, raised by a single statement that locks its row")
            );

    [Fact]
    public void Entity_WhenPlantedWithoutARowVersion_IsCaught() =>
        Unversioned(Offenders.Store.PlantedContext.CreateModel())
            .ShouldBeOnly(
                ("FilteredByAnotherName", "planted: the last one to save wins"),
                ("FilteredByNothing", "planted: the last one to save wins"),
                ("FilteredByAConstant", "planted: the last one to save wins")
            );

    [Fact]
    public void Filter_WhenItIsLifted_IsListed() => FilesWith(Repository.Code, "IgnoreQueryFilters").ShouldBeEmpty();

    [Fact]
    [Trait("Requirement", "SEC-22")]
    public void Sql_WhenItIsWrittenByHand_IsListed() =>
        FilesWith(Repository.Code, "FromSql", "SqlQuery", "ExecuteSql")
            .ShouldBeOnly(
                (
                    "src/Caseload.Data/Access/RecordFunctions.cs",
                    "calls the database's own functions that destroy, trim and find a child by its code; each asks for the right itself"
                ),
                (
                    "src/Caseload.Data/Alerts/AlertClock.cs",
                    "locks alerts whose time has come and passes over locked ones, which LINQ cannot say; the filter applies on top"
                ),
                (
                    "src/Caseload.Data/Children/ChildCodes.cs",
                    "raises a counter and reads it in one statement; the programme is a parameter"
                ),
                (
                    "src/Caseload.Data/Jobs/JobClaims.cs",
                    "takes a run by its key in one statement, which LINQ cannot say; every value is a parameter and the row policy applies"
                ),
                (
                    "src/Caseload.Data/Mail/MessageClaims.cs",
                    "locks waiting messages and passes over locked ones, which LINQ cannot say; the filter applies on top"
                ),
                (
                    "src/Caseload.Web/Platform/Access/Knock.cs",
                    "locks a person's row while a credential is checked, which LINQ cannot say; the filter applies on top"
                ),
                (
                    "src/Caseload.Data/People/CoverLocks.cs",
                    "lets one person at a time arrange covers; an advisory lock that LINQ cannot say, named after the programme"
                ),
                (
                    "src/Caseload.Data/People/OpenSignIns.cs",
                    "locks a person's open sign-ins, which LINQ cannot say; the filter applies on top"
                ),
                (
                    "src/Caseload.Data/People/PeopleLocks.cs",
                    "locks administrators and a person, which LINQ cannot say; the filter applies on top"
                ),
                (
                    "src/Caseload.Data/Statuses/StandingStore.cs",
                    "locks children's rows and alerts, which LINQ cannot say; the filter applies on top"
                )
            );

    [Fact]
    public void LiftedFilter_WhenPlanted_IsCaught() =>
        FilesWith([new RepositoryFile("src/Planted.cs", "context.Children.IgnoreQueryFilters()")], "IgnoreQueryFilters")
            .ShouldBe(["src/Planted.cs"]);

    private static IEnumerable<string> Unowned(IModel model) =>
        model
            .GetEntityTypes()
            .Where(entity => !entity.ClrType.IsAssignableTo(typeof(IProgrammeOwned)))
            .Select(entity => entity.ClrType.Name);

    private static IEnumerable<string> Unfiltered(IModel model) =>
        model
            .GetEntityTypes()
            .Where(entity =>
                entity.FindDeclaredQueryFilter(CaseloadDbContext.TenantFilter)?.Expression is not { } filter
                || !filter.ToString().Contains("_programmeId", StringComparison.Ordinal)
            )
            .Select(entity => entity.ClrType.Name);

    private static IEnumerable<string> Unconfigured(IModel model, Assembly assembly)
    {
        var configured = assembly
            .GetTypes()
            .SelectMany(type => type.GetInterfaces())
            .Where(type => type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IEntityTypeConfiguration<>))
            .Select(type => type.GetGenericArguments()[0])
            .ToHashSet();
        return model.GetEntityTypes().Where(entity => !configured.Contains(entity.ClrType)).Select(entity => entity.ClrType.Name);
    }

    private static IEnumerable<string> Unversioned(IModel model) =>
        model
            .GetEntityTypes()
            .Where(entity =>
                !entity.ClrType.IsAssignableTo(typeof(IAppendOnly)) && !entity.GetProperties().Any(property => property.IsConcurrencyToken)
            )
            .Select(entity => entity.ClrType.Name);

    private static IEnumerable<string> FilesWith(IEnumerable<RepositoryFile> files, params string[] words) =>
        files.Where(file => words.Any(word => file.Text.Contains(word, StringComparison.Ordinal))).Select(file => file.Path);
}
