using Caseload.Data;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Architecture.Tests.Offenders.Store;

internal sealed class OwnedByNobody
{
    public Guid Id { get; init; }

    public uint RowVersion { get; init; }

    public Guid Programme { get; init; }
}

internal sealed class OwnedByNobodyConfiguration : IEntityTypeConfiguration<OwnedByNobody>
{
    public void Configure(EntityTypeBuilder<OwnedByNobody> builder) => builder.Property(row => row.RowVersion).IsRowVersion();
}

internal sealed class FilteredByNothing : IProgrammeOwned
{
    public Guid ProgrammeId { get; init; }

    public Guid Id { get; init; }
}

internal sealed class FilteredByAnotherName : IProgrammeOwned
{
    public Guid ProgrammeId { get; init; }

    public Guid Id { get; init; }
}

internal sealed class FilteredByAConstant : IProgrammeOwned
{
    public Guid ProgrammeId { get; init; }

    public Guid Id { get; init; }
}

internal sealed class AsItShouldBe : IProgrammeOwned
{
    public Guid ProgrammeId { get; init; }

    public Guid Id { get; init; }

    public uint RowVersion { get; init; }
}

internal sealed class AsItShouldBeConfiguration : IEntityTypeConfiguration<AsItShouldBe>
{
    public void Configure(EntityTypeBuilder<AsItShouldBe> builder) => builder.Property(row => row.RowVersion).IsRowVersion();
}

internal sealed class PlantedContext(DbContextOptions<PlantedContext> options) : DbContext(options)
{
    private readonly Guid _programmeId = Guid.Empty;

    internal static IModel CreateModel()
    {
        using var context = new PlantedContext(new DbContextOptionsBuilder<PlantedContext>().UseNpgsql("Host=localhost").Options);
        return context.Model;
    }

    protected override void OnModelCreating(ModelBuilder modelBuilder)
    {
        modelBuilder.Entity<FilteredByNothing>();
        modelBuilder.Entity<FilteredByAnotherName>().HasQueryFilter("programme", row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<FilteredByAConstant>().HasQueryFilter(CaseloadDbContext.TenantFilter, row => row.ProgrammeId != Guid.Empty);
        modelBuilder.Entity<AsItShouldBe>().HasQueryFilter(CaseloadDbContext.TenantFilter, row => row.ProgrammeId == _programmeId);
        modelBuilder.Entity<OwnedByNobody>().HasQueryFilter(CaseloadDbContext.TenantFilter, row => row.Programme == _programmeId);
        modelBuilder.ApplyConfiguration(new OwnedByNobodyConfiguration());
        modelBuilder.ApplyConfiguration(new AsItShouldBeConfiguration());
    }
}
