using Caseload.Data.Children;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class AssignmentConfiguration : IEntityTypeConfiguration<Assignment>
{
    public void Configure(EntityTypeBuilder<Assignment> assignment)
    {
        assignment.ToTable(
            "assignments",
            table =>
            {
                table.HasCheckConstraint("ck_assignments_through_on", "through_on >= from_on");
                table.HasCheckConstraint("ck_assignments_end", "(through_on is null) = (end_recorded_at is null)");
            }
        );
        assignment.HasKey(row => new { row.ProgrammeId, row.Id });
        assignment.Property(row => row.Id).ValueGeneratedNever();
        assignment.Property(row => row.Handover).HasMaxLength(TextLimits.Note);
        assignment.Property(row => row.Who).HasMaxLength(TextLimits.Name);
        assignment
            .HasIndex(row => new { row.ProgrammeId, row.ChildId })
            .IsUnique()
            .HasFilter("through_on is null")
            .HasDatabaseName(Assignment.OneOpenIndex);
        assignment
            .HasIndex(row => new { row.ProgrammeId, row.EffectOn })
            .HasFilter("effect_on is not null")
            .HasDatabaseName("ix_assignments_effect_on");
        assignment
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.FromOn,
            })
            .HasDatabaseName("ix_assignments_child");
        assignment.BelongsTo(row => row.Child);
        assignment.GoesTo(nameof(Assignment.ClinicianId));
        assignment.HasRowVersion();
    }
}

internal sealed class NeverPairConfiguration : IEntityTypeConfiguration<NeverPair>
{
    public void Configure(EntityTypeBuilder<NeverPair> pair)
    {
        pair.ToTable("never_pairs");
        pair.HasKey(row => new
        {
            row.ProgrammeId,
            row.ChildId,
            row.ClinicianId,
        });
        pair.Property(row => row.Reason).HasMaxLength(TextLimits.Line);
        pair.Property(row => row.Who).HasMaxLength(TextLimits.Name);
        pair.BelongsTo(row => row.Child);
        pair.GoesTo(nameof(NeverPair.ClinicianId));
        pair.HasRowVersion();
    }
}

internal sealed class PlannedVisitConfiguration : IEntityTypeConfiguration<PlannedVisit>
{
    public void Configure(EntityTypeBuilder<PlannedVisit> visit)
    {
        visit.ToTable("planned_visits");
        visit.HasKey(row => new { row.ProgrammeId, row.Id });
        visit.Property(row => row.Id).ValueGeneratedNever();
        visit
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ChildId,
                row.PlannedOn,
            })
            .IsUnique()
            .HasDatabaseName(PlannedVisit.OneADayIndex);
        visit
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.ClinicianId,
                row.PlannedOn,
            })
            .HasDatabaseName("ix_planned_visits_clinician");
        visit.BelongsTo(row => row.Child);
        visit.GoesTo(nameof(PlannedVisit.ClinicianId));
        visit.HasRowVersion();
    }
}

internal sealed class CalendarFeedConfiguration : IEntityTypeConfiguration<CalendarFeed>
{
    public void Configure(EntityTypeBuilder<CalendarFeed> feed)
    {
        feed.ToTable("calendar_feeds");
        feed.HasKey(row => new { row.ProgrammeId, row.Id });
        feed.Property(row => row.Id).ValueGeneratedNever();
        feed.HasIndex(row => row.SecretHash).IsUnique().HasDatabaseName("ux_calendar_feeds_secret");
        feed.HasIndex(row => new { row.ProgrammeId, row.PersonId })
            .IsUnique()
            .HasFilter("revoked_at is null")
            .HasDatabaseName("ux_calendar_feeds_person");
        PersonConfiguration.BelongsTo(feed, nameof(CalendarFeed.PersonId));
        feed.HasRowVersion();
    }
}

/// <summary>What the team's tables say in the same way.</summary>
internal static class TeamTables
{
    internal static void BelongsTo<T>(this EntityTypeBuilder<T> row, System.Linq.Expressions.Expression<Func<T, Child?>> child)
        where T : class =>
        row.HasOne(child).WithMany().HasForeignKey(nameof(IProgrammeOwned.ProgrammeId), "ChildId").OnDelete(DeleteBehavior.Cascade);

    internal static void GoesTo<T>(this EntityTypeBuilder<T> row, string clinicianProperty)
        where T : class =>
        row.HasOne(typeof(Clinician))
            .WithMany()
            .HasForeignKey(nameof(IProgrammeOwned.ProgrammeId), clinicianProperty)
            .OnDelete(DeleteBehavior.Restrict);
}
