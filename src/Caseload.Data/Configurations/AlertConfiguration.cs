using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class AlertConfiguration : IEntityTypeConfiguration<Alert>
{
    public void Configure(EntityTypeBuilder<Alert> alert)
    {
        // The foreign key from closing_finding_id, deferred, and the triggers that refuse DELETE stand in the migration.
        alert.ToTable(
            "alerts",
            table =>
            {
                table.HasWords<Alert, AlertKind>("ck_alerts_kind", "kind");
                table.HasWords<Alert, AlertState>("ck_alerts_state", "state");
                table.HasWords<Alert, AlertEnd>("ck_alerts_closed_because", "closed_because");
                table.HasCheckConstraint("ck_alerts_step", "step between 0 and 2");
                table.HasCheckConstraint("ck_alerts_severity", $"severity between 1 and {Enum.GetValues<Concern>().Length - 1}");
                table.HasCheckConstraint(
                    "ck_alerts_closed",
                    "(state = 'closed') = (closed_at is not null) and (closed_at is null) = (closed_because is null)"
                );
                table.HasCheckConstraint("ck_alerts_back_on", "(state = 'set-aside') = (back_on is not null)");
            }
        );
        alert.HasKey(row => new { row.ProgrammeId, row.Id });
        // Steps point here, so that a step can hang only on an alert of its own child.
        alert.HasAlternateKey(row => new
        {
            row.ProgrammeId,
            row.ChildId,
            row.Id,
        });
        alert.Property(row => row.Id).ValueGeneratedNever();
        alert.Property(row => row.Item).HasMaxLength(TextLimits.Key);
        alert.Property(row => row.Severity).HasConversion<short>();
        alert.Property(row => row.Reasons).HasColumnType("jsonb");
        alert.Property(row => row.SetKey).HasMaxLength(2 * TextLimits.Key + 1);
        alert
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.Item,
                row.Kind,
            })
            .IsUnique()
            .HasFilter("closed_at is null")
            .HasDatabaseName(Alert.OneOpenIndex);
        alert
            .HasIndex(row => new { row.ProgrammeId, row.AnswerBy })
            .HasFilter("answer_by is not null")
            .HasDatabaseName("ix_alerts_answer_by");
        alert.HasIndex(row => new { row.ProgrammeId, row.BackOn }).HasFilter("back_on is not null").HasDatabaseName("ix_alerts_back_on");
        alert
            .HasIndex(row => new { row.ProgrammeId, row.ClosedAt })
            .HasFilter("closed_at is not null")
            .HasDatabaseName("ix_alerts_closed_at");
        alert
            .HasOne(row => row.Child)
            .WithMany(child => child.Alerts)
            .HasForeignKey(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Cascade);
        alert
            .HasOne<ReferenceSetVersion>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.SetKey })
            .OnDelete(DeleteBehavior.Restrict);
        alert.HasRowVersion();
    }
}

internal sealed class AlertStepConfiguration : IEntityTypeConfiguration<AlertStep>
{
    public void Configure(EntityTypeBuilder<AlertStep> step)
    {
        // The triggers that refuse UPDATE, DELETE and TRUNCATE stand in the migration.
        step.ToTable("alert_steps", table => table.HasWords<AlertStep, AlertStepKind>("ck_alert_steps_what", "what"));
        step.HasKey(row => new { row.ProgrammeId, row.Id });
        step.Property(row => row.Id).ValueGeneratedNever();
        step.Property(row => row.Who).HasMaxLength(TextLimits.Name);
        step.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        step.HasIndex(row => new { row.ProgrammeId, row.AlertId }).HasDatabaseName("ix_alert_steps_alert");
        step.HasOne<Alert>()
            .WithMany(alert => alert.Steps)
            .HasForeignKey(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.AlertId,
            })
            .HasPrincipalKey(alert => new
            {
                alert.ProgrammeId,
                alert.ChildId,
                alert.Id,
            })
            .OnDelete(DeleteBehavior.Cascade);
    }
}

internal sealed class ChildStatusConfiguration : IEntityTypeConfiguration<ChildStatus>
{
    public void Configure(EntityTypeBuilder<ChildStatus> status)
    {
        status.ToTable(
            "child_statuses",
            table => table.HasCheckConstraint("ck_child_statuses_next_change_on", "next_change_on > computed_for_on")
        );
        status.HasKey(row => new { row.ProgrammeId, row.ChildId });
        status.Property(row => row.ChildId).ValueGeneratedNever();
        status
            .HasIndex(row => new { row.ProgrammeId, row.NextChangeOn })
            .HasFilter("next_change_on is not null")
            .HasDatabaseName("ix_child_statuses_next_change");
        status
            .HasOne(row => row.Child)
            .WithOne(child => child.Status)
            .HasForeignKey<ChildStatus>(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}

internal sealed class RecordedSignConfiguration : IEntityTypeConfiguration<RecordedSign>
{
    public void Configure(EntityTypeBuilder<RecordedSign> sign)
    {
        sign.ToTable(
            "child_signs",
            table =>
            {
                table.HasWords<RecordedSign, UrgentSign>("ck_child_signs_sign", "sign");
                table.HasCheckConstraint("ck_child_signs_settled_on", "settled_on >= seen_on");
            }
        );
        sign.HasKey(row => new { row.ProgrammeId, row.Id });
        sign.Property(row => row.Id).ValueGeneratedNever();
        sign.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        sign.HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.Sign,
            })
            .IsUnique()
            .HasFilter("settled_on is null")
            .HasDatabaseName("ux_child_signs_standing");
        sign.HasOne<Child>()
            .WithMany(child => child.Signs)
            .HasForeignKey(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Cascade);
        sign.HasRowVersion();
    }
}
