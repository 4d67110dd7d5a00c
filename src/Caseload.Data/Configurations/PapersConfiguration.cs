using Caseload.Data.Papers;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class FamilyLetterConfiguration : IEntityTypeConfiguration<FamilyLetter>
{
    public void Configure(EntityTypeBuilder<FamilyLetter> letter)
    {
        // The triggers that refuse UPDATE and TRUNCATE stand in the migration; letters go with the child's record.
        letter.ToTable("family_letters");
        letter.HasKey(row => new { row.ProgrammeId, row.Id });
        letter.Property(row => row.Id).ValueGeneratedNever();
        letter.Property(row => row.Language).HasMaxLength(TextLimits.Word);
        letter.Property(row => row.Parts).HasColumnType("jsonb");
        letter.Property(row => row.Contact).HasMaxLength(TextLimits.Line);
        letter.Property(row => row.Who).HasMaxLength(TextLimits.Name);
        letter.HasIndex(row => new { row.ProgrammeId, row.ChildId }).HasDatabaseName("ix_family_letters_child");
        letter.BelongsTo(row => row.Child);
    }
}

internal sealed class SummaryExportConfiguration : IEntityTypeConfiguration<SummaryExport>
{
    public void Configure(EntityTypeBuilder<SummaryExport> export)
    {
        // The triggers that refuse UPDATE, DELETE and TRUNCATE stand in the migration.
        export.ToTable("summary_exports", table => table.HasWords<SummaryExport, SummaryFormat>("ck_summary_exports_format", "format"));
        export.HasKey(row => new { row.ProgrammeId, row.Id });
        export.Property(row => row.Id).ValueGeneratedNever();
        export.Property(row => row.Scope).HasMaxLength(TextLimits.Note);
        export
            .HasIndex(row => new
            {
                row.ProgrammeId,
                row.PersonId,
                row.MadeAt,
            })
            .HasDatabaseName("ix_summary_exports_person");
        PersonConfiguration.BelongsTo(export, nameof(SummaryExport.PersonId));
    }
}
