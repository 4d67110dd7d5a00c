using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class AccessEntryConfiguration : IEntityTypeConfiguration<AccessEntry>
{
    public void Configure(EntityTypeBuilder<AccessEntry> entry)
    {
        // The triggers that find the reason, number and seal an entry, and refuse every change, stand in the migration.
        entry.ToTable("access_entries", table => table.HasCheckConstraint("ck_access_entries_what", "what ~ '^[a-z]+(-[a-z]+)*$'"));
        entry.HasKey(row => new { row.ProgrammeId, row.Id });
        entry.Property(row => row.Id).ValueGeneratedNever();
        entry.Property(row => row.Who).HasMaxLength(TextLimits.Name);
        entry.Property(row => row.What).HasMaxLength(TextLimits.Word);
        entry.Property(row => row.Why).HasMaxLength(TextLimits.Word);
        entry.Property(row => row.Address).HasMaxLength(TextLimits.Key);
        entry.Property(row => row.Detail).HasColumnType("jsonb");
        entry
            .HasIndex(row => new { row.ProgrammeId, row.AttemptId })
            .IsUnique()
            .HasFilter("attempt_id is not null")
            .HasDatabaseName("ux_access_entries_attempt");
        entry.HasIndex(row => new { row.ProgrammeId, row.Number }).IsUnique().HasDatabaseName("ux_access_entries_number");
        entry
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.At,
            })
            .HasDatabaseName("ix_access_entries_child");
        entry
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.PersonId,
                row.At,
            })
            .HasDatabaseName("ix_access_entries_person");
        entry.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class AccessChainHeadConfiguration : IEntityTypeConfiguration<AccessChainHead>
{
    public void Configure(EntityTypeBuilder<AccessChainHead> head)
    {
        head.ToTable("access_chain_heads");
        head.HasKey(row => row.ProgrammeId);
        head.Property(row => row.ProgrammeId).ValueGeneratedNever();
        head.HasOne<Programme>().WithOne().HasForeignKey<AccessChainHead>(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
    }
}
