using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Domain.Ages;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class ChildConfiguration : IEntityTypeConfiguration<Child>
{
    public void Configure(EntityTypeBuilder<Child> child)
    {
        child.ToTable(
            "children",
            table =>
            {
                table.HasCheckConstraint("ck_children_code", "code ~ '^K-[0-9]{3,}$'");
                table.HasCheckConstraint(
                    "ck_children_gestation_days",
                    $"gestation_days between {GestationalAge.MinimumDays} and {GestationalAge.MaximumDays}"
                );
                table.HasCheckConstraint("ck_children_enrolled_on", "enrolled_on >= born_on");
                table.HasCheckConstraint("ck_children_referred_on", "referred_on between born_on and enrolled_on");
                table.HasCheckConstraint("ck_children_visits_in_four_weeks", "visits_in_four_weeks between 1 and 40");
                table.HasWords<Child, Discipline>("ck_children_needed_discipline", "needed_discipline");
                table.HasCheckConstraint("ck_children_closed", "(closed_on is null) = (closing_reason is null)");
                table.HasCheckConstraint("ck_children_closed_on", "closed_on >= enrolled_on");
            }
        );
        child.HasKey(row => new { row.ProgrammeId, row.Id });
        child.Property(row => row.Id).ValueGeneratedNever();
        child.Property(row => row.Code).HasMaxLength(12);
        child.Property(row => row.GivenName).HasMaxLength(TextLimits.Name);
        child.Property(row => row.FamilyName).HasMaxLength(TextLimits.Name);
        child.Property(row => row.Zone).HasMaxLength(TextLimits.Key);
        child.Property(row => row.Language).HasMaxLength(TextLimits.Key);
        child.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        child.Property(row => row.ClosingReason).HasMaxLength(TextLimits.Line);
        child.HasIndex(row => new { row.ProgrammeId, row.Code }).IsUnique().HasDatabaseName("ux_children_code");
        child.HasIndex(row => new { row.ProgrammeId, row.ClinicianId }).HasDatabaseName("ix_children_clinician");
        child.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
        child
            .HasOne(row => row.Clinician)
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.ClinicianId })
            .OnDelete(DeleteBehavior.Restrict);
        child.HasRowVersion();
    }
}

internal sealed class RecordedExclusionConfiguration : IEntityTypeConfiguration<RecordedExclusion>
{
    public void Configure(EntityTypeBuilder<RecordedExclusion> exclusion)
    {
        exclusion.ToTable(
            "child_exclusions",
            table =>
            {
                table.HasWords<RecordedExclusion, Exclusion>("ck_child_exclusions_exclusion", "exclusion");
                table.HasCheckConstraint("ck_child_exclusions_through_on", "through_on >= from_on");
            }
        );
        exclusion.HasKey(row => new { row.ProgrammeId, row.Id });
        exclusion.Property(row => row.Id).ValueGeneratedNever();
        exclusion.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        exclusion.HasIndex(row => new { row.ProgrammeId, row.ChildId }).HasDatabaseName("ix_child_exclusions_child");
        exclusion
            .HasOne<Child>()
            .WithMany(child => child.Exclusions)
            .HasForeignKey(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Cascade);
        exclusion.HasRowVersion();
    }
}

internal sealed class RecordedConcernConfiguration : IEntityTypeConfiguration<RecordedConcern>
{
    public void Configure(EntityTypeBuilder<RecordedConcern> concern)
    {
        concern.ToTable("child_concerns", table => table.HasCheckConstraint("ck_child_concerns_resolved_on", "resolved_on >= recorded_on"));
        concern.HasKey(row => new { row.ProgrammeId, row.Id });
        concern.Property(row => row.Id).ValueGeneratedNever();
        concern.Property(row => row.Concern).HasMaxLength(TextLimits.Key);
        concern.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        concern.HasIndex(row => new { row.ProgrammeId, row.ChildId }).HasDatabaseName("ix_child_concerns_child");
        concern
            .HasOne<Child>()
            .WithMany(child => child.Concerns)
            .HasForeignKey(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Cascade);
        concern.HasRowVersion();
    }
}
