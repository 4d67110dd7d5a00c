using System.Text.Json;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class ProgrammeConfiguration : IEntityTypeConfiguration<Programme>
{
    public void Configure(EntityTypeBuilder<Programme> programme)
    {
        // The foreign key from active_set_key to reference_set_versions is deferred, which EF cannot say; it stands in the migration.
        programme.ToTable("programmes");
        programme.HasKey(row => row.Id);
        programme.Property(row => row.Id).HasColumnName("programme_id").ValueGeneratedNever();
        programme.Property(row => row.Name).HasMaxLength(TextLimits.Name);
        programme.Property(row => row.TimeZoneId).HasColumnName("time_zone").HasMaxLength(TextLimits.Key);
        programme.Property(row => row.ActiveSetKey).HasMaxLength(2 * TextLimits.Key + 1);
        IsPolicy(programme.Property(row => row.Policy));
        IsPolicy(programme.Property(row => row.AccessPolicy));
        IsPolicy(programme.Property(row => row.AlertPolicy));
        IsPolicy(programme.Property(row => row.WorkloadPolicy));
        programme.HasRowVersion();
    }

    private static void IsPolicy<T>(PropertyBuilder<T> property)
        where T : class =>
        property
            .HasColumnType("jsonb")
            .HasConversion(
                policy => JsonSerializer.Serialize(policy, JsonSerializerOptions.Web),
                json => JsonSerializer.Deserialize<T>(json, JsonSerializerOptions.Web)!,
                new ValueComparer<T>((left, right) => left!.Equals(right), policy => policy.GetHashCode())
            );
}

internal sealed class ClinicianConfiguration : IEntityTypeConfiguration<Clinician>
{
    public void Configure(EntityTypeBuilder<Clinician> clinician)
    {
        clinician.ToTable(
            "clinicians",
            table =>
            {
                table.HasWords<Clinician, Discipline>("ck_clinicians_discipline", "discipline");
                table.HasCheckConstraint("ck_clinicians_most_children", "most_children between 0 and 500");
            }
        );
        clinician.HasKey(row => new { row.ProgrammeId, row.Id });
        clinician.Property(row => row.Id).ValueGeneratedNever();
        clinician.Property(row => row.Name).HasMaxLength(TextLimits.Name);
        clinician.Property(row => row.Initials).HasMaxLength(TextLimits.Initials);
        clinician
            .Property(row => row.Languages)
            .HasColumnType("text[]")
            .HasConversion(WordLists.Of(text => text, text => text), WordLists.Comparer<string>());
        clinician
            .Property(row => row.Zones)
            .HasColumnType("text[]")
            .HasConversion(WordLists.Of(text => text, text => text), WordLists.Comparer<string>());
        clinician
            .Property(row => row.WorkingDays)
            .HasColumnType("text[]")
            .HasConversion(
                WordLists.Of(day => day.ToWord(), word => EnumWords.FromWord<DayOfWeek>(word)!.Value),
                WordLists.Comparer<DayOfWeek>()
            );
        clinician.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
        clinician.HasRowVersion();
    }
}

internal sealed class ReferenceSetVersionConfiguration : IEntityTypeConfiguration<ReferenceSetVersion>
{
    public void Configure(EntityTypeBuilder<ReferenceSetVersion> version)
    {
        version.ToTable(
            "reference_set_versions",
            table =>
            {
                table.HasCheckConstraint("ck_reference_set_versions_key", "key = name || '@' || version");
                table.HasCheckConstraint("ck_reference_set_versions_reason", "based_on is null or change_reason is not null");
            }
        );
        version.HasKey(row => new { row.ProgrammeId, row.Key }).HasName("pk_reference_set_versions");
        version.Property(row => row.Key).HasMaxLength(2 * TextLimits.Key + 1);
        version.Property(row => row.Name).HasMaxLength(TextLimits.Key);
        version.Property(row => row.Version).HasMaxLength(TextLimits.Key);
        version.Property(row => row.BasedOn).HasMaxLength(2 * TextLimits.Key + 1);
        version.Property(row => row.ChangeReason).HasMaxLength(TextLimits.Note);
        version.Property(row => row.PublishedBy).HasMaxLength(TextLimits.Name);
        version.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
        version
            .HasOne<ReferenceSetVersion>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.BasedOn })
            .HasConstraintName("fk_reference_set_versions_based_on")
            .OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class ChildCodeCounterConfiguration : IEntityTypeConfiguration<ChildCodeCounter>
{
    public void Configure(EntityTypeBuilder<ChildCodeCounter> counter)
    {
        counter.ToTable("child_code_counters", table => table.HasCheckConstraint("ck_child_code_counters_last_number", "last_number >= 0"));
        counter.HasKey(row => row.ProgrammeId);
        counter.Property(row => row.ProgrammeId).ValueGeneratedNever();
        counter.HasOne<Programme>().WithOne().HasForeignKey<ChildCodeCounter>(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
    }
}
