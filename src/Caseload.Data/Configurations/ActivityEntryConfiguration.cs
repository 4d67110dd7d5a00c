using Caseload.Data.Audit;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class ActivityEntryConfiguration : IEntityTypeConfiguration<ActivityEntry>
{
    public void Configure(EntityTypeBuilder<ActivityEntry> entry)
    {
        entry.ToTable("activity_entries", table => table.HasCheckConstraint("ck_activity_entries_what", "what ~ '^[a-z]+(-[a-z]+)*$'"));
        entry.HasKey(row => new { row.ProgrammeId, row.Id });
        entry.Property(row => row.Id).ValueGeneratedNever();
        entry.Property(row => row.Who).HasMaxLength(TextLimits.Name);
        entry.Property(row => row.What).HasMaxLength(TextLimits.Word);
        entry.Property(row => row.Detail).HasColumnType("jsonb");
        entry
            .HasIndex(row => new { row.ProgrammeId, row.AttemptId })
            .IsUnique()
            .HasFilter("attempt_id is not null")
            .HasDatabaseName("ux_activity_entries_attempt");
        entry
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.At,
            })
            .HasDatabaseName("ix_activity_entries_child");
        entry.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
        entry
            .HasOne<Clinician>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.ClinicianId })
            .OnDelete(DeleteBehavior.Restrict);
    }
}
