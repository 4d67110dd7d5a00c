using Caseload.Data.Digests;
using Caseload.Data.Jobs;
using Caseload.Data.Mail;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class DigestConfiguration : IEntityTypeConfiguration<Digest>
{
    public void Configure(EntityTypeBuilder<Digest> digest)
    {
        // The triggers that refuse UPDATE, DELETE and TRUNCATE stand in the migration.
        digest.ToTable(
            "digests",
            table =>
            {
                table.HasWords<Digest, DigestScope>("ck_digests_scope", "scope");
                table.HasCheckConstraint("ck_digests_week", "week ~ '^[0-9]{4}-W[0-5][0-9]$'");
            }
        );
        digest.HasKey(row => new { row.ProgrammeId, row.Id });
        digest.Property(row => row.Id).ValueGeneratedNever();
        digest.Property(row => row.Week).HasMaxLength(8);
        digest.Property(row => row.Content).HasColumnType("jsonb");
        digest.Property(row => row.Subject).HasMaxLength(TextLimits.Line);
        digest
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.PersonId,
                row.Scope,
                row.Week,
            })
            .IsUnique()
            .HasDatabaseName("ux_digests_week");
        PersonConfiguration.BelongsTo(digest, nameof(Digest.PersonId));
    }
}

internal sealed class OutgoingMessageConfiguration : IEntityTypeConfiguration<OutgoingMessage>
{
    public void Configure(EntityTypeBuilder<OutgoingMessage> message)
    {
        message.ToTable(
            "outgoing_messages",
            table =>
            {
                table.HasWords<OutgoingMessage, MessageKind>("ck_outgoing_messages_kind", "kind");
                table.HasCheckConstraint("ck_outgoing_messages_lease", "(leased_by is null) = (lease_until is null)");
                table.HasCheckConstraint(
                    "ck_outgoing_messages_end",
                    "num_nonnulls(next_try_at, sent_at, parked_at) = 1 and attempt_count >= 0"
                );
            }
        );
        message.HasKey(row => new { row.ProgrammeId, row.Id });
        message.Property(row => row.Id).ValueGeneratedNever();
        message.Property(row => row.Key).HasMaxLength(TextLimits.Line);
        message.Property(row => row.Address).HasMaxLength(TextLimits.Address);
        message.Property(row => row.Subject).HasMaxLength(TextLimits.Line);
        message.Property(row => row.LeasedBy).HasMaxLength(TextLimits.Key);
        message.Property(row => row.LastError).HasMaxLength(TextLimits.Note);
        message.HasIndex(row => new { row.ProgrammeId, row.Key }).IsUnique().HasDatabaseName("ux_outgoing_messages_key");
        message
            .HasIndex(row => new { row.ProgrammeId, row.NextTryAt })
            .HasFilter("next_try_at is not null")
            .HasDatabaseName("ix_outgoing_messages_next_try");
        message.HasIndex(row => new { row.ProgrammeId, row.CreatedAt }).HasDatabaseName("ix_outgoing_messages_created");
        PersonConfiguration.BelongsTo(message, nameof(OutgoingMessage.PersonId));
    }
}

internal sealed class JobRunConfiguration : IEntityTypeConfiguration<JobRun>
{
    public void Configure(EntityTypeBuilder<JobRun> run)
    {
        run.ToTable(
            "job_runs",
            table =>
            {
                table.HasWords<JobRun, JobOutcome>("ck_job_runs_outcome", "outcome");
                table.HasCheckConstraint("ck_job_runs_finished", "(finished_at is null) = (outcome is null)");
            }
        );
        run.HasKey(row => new
        {
            row.ProgrammeId,
            row.Job,
            row.Period,
        });
        run.Property(row => row.Job).HasMaxLength(TextLimits.Word);
        run.Property(row => row.Period).HasMaxLength(TextLimits.Key);
        run.Property(row => row.Node).HasMaxLength(TextLimits.Key);
        run.Property(row => row.Result).HasMaxLength(TextLimits.Note);
        run.HasIndex(row => new { row.ProgrammeId, row.StartedAt }).HasDatabaseName("ix_job_runs_started");
        run.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
    }
}
