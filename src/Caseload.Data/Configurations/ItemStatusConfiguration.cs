using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class ItemStatusConfiguration : IEntityTypeConfiguration<ItemStatus>
{
    public void Configure(EntityTypeBuilder<ItemStatus> status)
    {
        status.ToTable(
            "item_statuses",
            table =>
            {
                table.HasWords<ItemStatus, ItemState>("ck_item_statuses_state", "state");
                table.HasWords<ItemStatus, CheckPurpose>("ck_item_statuses_check_purpose", "check_purpose");
                table.HasCheckConstraint("ck_item_statuses_step", "step between 0 and 2");
                table.HasCheckConstraint("ck_item_statuses_concern", $"concern between 0 and {Enum.GetValues<Concern>().Length - 1}");
                table.HasCheckConstraint(
                    "ck_item_statuses_check",
                    "(check_purpose = 'none') = (check_from_on is null) and (check_purpose = 'none') = (check_through_on is null)"
                );
                table.HasCheckConstraint("ck_item_statuses_check_span", "check_through_on >= check_from_on");
                table.HasCheckConstraint("ck_item_statuses_next_change_on", "next_change_on > computed_for_on");
            }
        );
        // The key is also the index by child.
        status.HasKey(row => new
        {
            row.ProgrammeId,
            row.ChildId,
            row.Item,
        });
        status.Property(row => row.Item).HasMaxLength(TextLimits.Key);
        status.Property(row => row.Concern).HasConversion<short>();
        status.Property(row => row.SetKey).HasMaxLength(2 * TextLimits.Key + 1);
        status
            .HasIndex(row => new { row.ProgrammeId, row.NextChangeOn })
            .HasFilter("next_change_on is not null")
            .HasDatabaseName("ix_item_statuses_next_change");
        status
            .HasOne(row => row.Child)
            .WithMany(child => child.Statuses)
            .HasForeignKey(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Cascade);
        status
            .HasOne<ReferenceSetVersion>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.SetKey })
            .OnDelete(DeleteBehavior.Restrict);
    }
}
