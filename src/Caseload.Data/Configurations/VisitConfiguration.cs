using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class VisitConfiguration : IEntityTypeConfiguration<Visit>
{
    public void Configure(EntityTypeBuilder<Visit> visit)
    {
        visit.ToTable("visits", table => table.HasCheckConstraint("ck_visits_finished_at", "finished_at >= started_at"));
        visit.HasKey(row => new { row.ProgrammeId, row.Id });
        // Findings point here, so that a finding can hang only on a visit of its own child.
        visit.HasAlternateKey(row => new
        {
            row.ProgrammeId,
            row.ChildId,
            row.Id,
        });
        visit.Property(row => row.Id).ValueGeneratedNever();
        visit.Property(row => row.Place).HasMaxLength(TextLimits.Line);
        visit.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        visit.HasIndex(row => new { row.ProgrammeId, row.VisitedOn }).HasDatabaseName("ix_visits_visited_on");
        // Two tablets may start at the same instant: a child has one open visit, and the second tablet is led to it.
        visit
            .HasIndex(row => new { row.ProgrammeId, row.ChildId })
            .IsUnique()
            .HasFilter("finished_at is null")
            .HasDatabaseName(Visit.OneOpenIndex);
        visit
            .HasOne(row => row.Child)
            .WithMany(child => child.Visits)
            .HasForeignKey(row => new { row.ProgrammeId, row.ChildId })
            .OnDelete(DeleteBehavior.Restrict);
        visit
            .HasOne(row => row.Clinician)
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.ClinicianId })
            .OnDelete(DeleteBehavior.Restrict);
        visit.HasRowVersion();
    }
}

internal sealed class VisitDraftConfiguration : IEntityTypeConfiguration<VisitDraft>
{
    public void Configure(EntityTypeBuilder<VisitDraft> draft)
    {
        draft.ToTable("visit_drafts");
        draft.HasKey(row => new { row.ProgrammeId, row.VisitId });
        draft.Property(row => row.Form).HasColumnType("jsonb");
        draft
            .HasOne<Visit>()
            .WithOne(visit => visit.Draft)
            .HasForeignKey<VisitDraft>(row => new { row.ProgrammeId, row.VisitId })
            .HasPrincipalKey<Visit>(visit => new { visit.ProgrammeId, visit.Id })
            .OnDelete(DeleteBehavior.Cascade);
        draft.HasRowVersion();
    }
}

internal sealed class RecordedFindingConfiguration : IEntityTypeConfiguration<RecordedFinding>
{
    public void Configure(EntityTypeBuilder<RecordedFinding> finding)
    {
        finding.ToTable(
            "findings",
            table =>
            {
                // The triggers that refuse UPDATE, DELETE and TRUNCATE stand in the migration.
                table.HasWords<RecordedFinding, Side>("ck_findings_side", "side");
                table.HasWords<RecordedFinding, Response>("ck_findings_response", "response");
                table.HasWords<RecordedFinding, BehaviouralState>("ck_findings_state", "state");
                table.HasWords<RecordedFinding, NotTestedReason>("ck_findings_not_tested", "not_tested");
                table.HasCheckConstraint(
                    "ck_findings_says_something",
                    "is_withdrawal and response is null and not_tested is null or not is_withdrawal and (response is null) <> (not_tested is null)"
                );
                table.HasCheckConstraint("ck_findings_withdrawal", "not is_withdrawal or corrects_id is not null");
                table.HasCheckConstraint("ck_findings_correction", "corrects_id is null or length(trim(correction_reason)) > 0");
                table.HasCheckConstraint("ck_findings_corrects_other", "corrects_id <> id");
            }
        );
        finding.HasKey(row => new { row.ProgrammeId, row.Id }).HasName("pk_findings");
        // Also the index by child, and what a correction points to: a finding of the same child.
        finding.HasAlternateKey(row => new
        {
            row.ProgrammeId,
            row.ChildId,
            row.Id,
        });
        finding.Property(row => row.Id).ValueGeneratedNever();
        finding.Property(row => row.Item).HasMaxLength(TextLimits.Key);
        finding.Property(row => row.StateScale).HasMaxLength(TextLimits.Key);
        finding.Property(row => row.Variant).HasMaxLength(TextLimits.Line);
        finding.Property(row => row.Note).HasMaxLength(TextLimits.Note);
        finding.Property(row => row.CorrectionReason).HasMaxLength(TextLimits.Note);
        finding.Property(row => row.SetKey).HasMaxLength(2 * TextLimits.Key + 1);
        finding
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.CorrectsId,
            })
            .IsUnique()
            .HasFilter("corrects_id is not null")
            .HasDatabaseName("ux_findings_corrects");
        finding
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.VisitId,
            })
            .HasDatabaseName("ix_findings_visit");
        finding
            .HasOne<Visit>()
            .WithMany(visit => visit.Findings)
            .HasForeignKey(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.VisitId,
            })
            .HasPrincipalKey(visit => new
            {
                visit.ProgrammeId,
                visit.ChildId,
                visit.Id,
            })
            .OnDelete(DeleteBehavior.Restrict);
        finding
            .HasOne<RecordedFinding>()
            .WithMany()
            .HasForeignKey(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.CorrectsId,
            })
            .HasPrincipalKey(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.Id,
            })
            .HasConstraintName("fk_findings_corrects")
            .OnDelete(DeleteBehavior.Restrict);
        finding
            .HasOne<Clinician>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.RecordedById })
            .OnDelete(DeleteBehavior.Restrict);
        finding
            .HasOne<ReferenceSetVersion>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.SetKey })
            .OnDelete(DeleteBehavior.Restrict);
    }
}
