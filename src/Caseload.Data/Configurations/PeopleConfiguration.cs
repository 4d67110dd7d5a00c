using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace Caseload.Data.Configurations;

internal sealed class PersonConfiguration : IEntityTypeConfiguration<Person>
{
    public void Configure(EntityTypeBuilder<Person> person)
    {
        person.ToTable(
            "people",
            table =>
            {
                var words = string.Join(", ", Enum.GetValues<Role>().Select(role => $"'{role.ToWord()}'"));
                table.HasCheckConstraint("ck_people_roles", $"roles <@ array[{words}]::text[]");
                table.HasCheckConstraint("ck_people_clinician", "clinician_id is not null or not roles @> array['clinician']");
                table.HasCheckConstraint("ck_people_failure_count", "failure_count >= 0");
            }
        );
        person.HasKey(row => new { row.ProgrammeId, row.Id });
        person.Property(row => row.Id).ValueGeneratedNever();
        person.Property(row => row.Name).HasMaxLength(TextLimits.Name);
        person.Property(row => row.SignInName).HasMaxLength(TextLimits.Address);
        person.Property(row => row.NormalizedSignInName).HasMaxLength(TextLimits.Address);
        person.Property(row => row.Email).HasMaxLength(TextLimits.Address);
        person
            .Property(row => row.Roles)
            .HasColumnType("text[]")
            .HasConversion(WordLists.Of(role => role.ToWord(), word => EnumWords.FromWord<Role>(word)!.Value), WordLists.Comparer<Role>());
        person.HasIndex(row => row.NormalizedSignInName).IsUnique().HasDatabaseName("ux_people_sign_in_name");
        person.HasIndex(row => row.Id).IsUnique().HasDatabaseName("ux_people_id");
        person
            .HasIndex(row => new { row.ProgrammeId, row.ClinicianId })
            .IsUnique()
            .HasFilter("clinician_id is not null")
            .HasDatabaseName("ux_people_clinician");
        person.HasOne<Programme>().WithMany().HasForeignKey(row => row.ProgrammeId).OnDelete(DeleteBehavior.Restrict);
        person
            .HasOne<Clinician>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.ClinicianId })
            .OnDelete(DeleteBehavior.Restrict);
        person.HasRowVersion();
    }

    internal static void BelongsTo<T>(EntityTypeBuilder<T> row, string personProperty)
        where T : class =>
        row.HasOne(typeof(Person))
            .WithMany()
            .HasForeignKey(nameof(IProgrammeOwned.ProgrammeId), personProperty)
            .OnDelete(DeleteBehavior.Restrict);
}

internal sealed class PersonPasskeyConfiguration : IEntityTypeConfiguration<PersonPasskey>
{
    public void Configure(EntityTypeBuilder<PersonPasskey> passkey)
    {
        passkey.ToTable("person_passkeys");
        passkey.HasKey(row => new { row.ProgrammeId, row.CredentialId });
        passkey.Property(row => row.CredentialId).HasMaxLength(1024);
        passkey.Property(row => row.Name).HasMaxLength(TextLimits.Key);
        passkey.Property(row => row.Content).HasColumnType("jsonb");
        passkey.HasIndex(row => row.CredentialId).IsUnique().HasDatabaseName("ux_person_passkeys_credential");
        PersonConfiguration.BelongsTo(passkey, nameof(PersonPasskey.PersonId));
        passkey.HasRowVersion();
    }
}

internal sealed class PersonLoginConfiguration : IEntityTypeConfiguration<PersonLogin>
{
    public void Configure(EntityTypeBuilder<PersonLogin> login)
    {
        login.ToTable("person_logins");
        login.HasKey(row => new
        {
            row.ProgrammeId,
            row.Issuer,
            row.Subject,
        });
        login.Property(row => row.Issuer).HasMaxLength(TextLimits.Address);
        login.Property(row => row.Subject).HasMaxLength(TextLimits.Address);
        login.HasIndex(row => new { row.Issuer, row.Subject }).IsUnique().HasDatabaseName("ux_person_logins_subject");
        PersonConfiguration.BelongsTo(login, nameof(PersonLogin.PersonId));
        login.HasRowVersion();
    }
}

internal sealed class RecoveryCodeConfiguration : IEntityTypeConfiguration<RecoveryCode>
{
    public void Configure(EntityTypeBuilder<RecoveryCode> code)
    {
        code.ToTable("recovery_codes");
        code.HasKey(row => new { row.ProgrammeId, row.Id });
        code.Property(row => row.Id).ValueGeneratedNever();
        code.HasIndex(row => new { row.ProgrammeId, row.PersonId }).HasDatabaseName("ix_recovery_codes_person");
        PersonConfiguration.BelongsTo(code, nameof(RecoveryCode.PersonId));
        code.HasRowVersion();
    }
}

internal sealed class SignInConfiguration : IEntityTypeConfiguration<SignIn>
{
    public void Configure(EntityTypeBuilder<SignIn> signIn)
    {
        signIn.ToTable(
            "sign_ins",
            table =>
            {
                table.HasWords<SignIn, SignInMethod>("ck_sign_ins_method", "method");
                table.HasWords<SignIn, SignInEnd>("ck_sign_ins_ended_why", "ended_why");
                table.HasCheckConstraint("ck_sign_ins_ended", "(ended_at is null) = (ended_why is null)");
            }
        );
        signIn.HasKey(row => new { row.ProgrammeId, row.Id });
        signIn.Property(row => row.Id).ValueGeneratedNever();
        signIn.Property(row => row.Address).HasMaxLength(TextLimits.Key);
        signIn.Property(row => row.Device).HasMaxLength(TextLimits.Key);
        signIn.HasIndex(row => row.Id).IsUnique().HasDatabaseName("ux_sign_ins_id");
        signIn.HasIndex(row => new { row.ProgrammeId, row.PersonId }).HasFilter("ended_at is null").HasDatabaseName("ix_sign_ins_person");
        PersonConfiguration.BelongsTo(signIn, nameof(SignIn.PersonId));
        signIn.HasRowVersion();
    }
}

internal sealed class InvitationConfiguration : IEntityTypeConfiguration<Invitation>
{
    public void Configure(EntityTypeBuilder<Invitation> invitation)
    {
        invitation.ToTable("invitations");
        invitation.HasKey(row => new { row.ProgrammeId, row.Id });
        invitation.Property(row => row.Id).ValueGeneratedNever();
        invitation.HasIndex(row => row.LinkHash).IsUnique().HasDatabaseName("ux_invitations_link");
        invitation.HasIndex(row => row.CodeHash).IsUnique().HasDatabaseName("ux_invitations_code");
        PersonConfiguration.BelongsTo(invitation, nameof(Invitation.PersonId));
        invitation.HasRowVersion();
    }
}

internal sealed class SetupLinkConfiguration : IEntityTypeConfiguration<SetupLink>
{
    public void Configure(EntityTypeBuilder<SetupLink> link)
    {
        link.ToTable("setup_links");
        link.HasKey(row => row.LinkHash);
    }
}

internal sealed class ProtectionKeyConfiguration : IEntityTypeConfiguration<ProtectionKey>
{
    public void Configure(EntityTypeBuilder<ProtectionKey> key)
    {
        key.ToTable("protection_keys");
        key.HasKey(row => row.Id);
        key.Property(row => row.Id).ValueGeneratedNever();
        key.Property(row => row.CreatedAt).HasDefaultValueSql("now()");
    }
}

internal sealed class CoverConfiguration : IEntityTypeConfiguration<Cover>
{
    public void Configure(EntityTypeBuilder<Cover> cover)
    {
        cover.ToTable(
            "covers",
            table =>
            {
                table.HasCheckConstraint("ck_covers_through_on", "through_on >= from_on");
                table.HasCheckConstraint("ck_covers_other", "absent_clinician_id <> covering_clinician_id");
                table.HasCheckConstraint("ck_covers_child", "child_id is null or covering_clinician_id is not null");
            }
        );
        cover.HasKey(row => new { row.ProgrammeId, row.Id });
        cover.Property(row => row.Id).ValueGeneratedNever();
        cover.HasIndex(row => new { row.ProgrammeId, row.CoveringClinicianId }).HasDatabaseName("ix_covers_covering");
        cover
            .HasOne<Clinician>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.AbsentClinicianId })
            .OnDelete(DeleteBehavior.Restrict);
        cover
            .HasOne<Clinician>()
            .WithMany()
            .HasForeignKey(row => new { row.ProgrammeId, row.CoveringClinicianId })
            .OnDelete(DeleteBehavior.Restrict);
        cover.HasOne<Child>().WithMany().HasForeignKey(row => new { row.ProgrammeId, row.ChildId }).OnDelete(DeleteBehavior.Cascade);
        cover.HasRowVersion();
    }
}

internal sealed class ReasonedReachConfiguration : IEntityTypeConfiguration<ReasonedReach>
{
    public void Configure(EntityTypeBuilder<ReasonedReach> reach)
    {
        reach.ToTable("reasoned_reaches", table => table.HasCheckConstraint("ck_reasoned_reaches_until_at", "until_at >= from_at"));
        reach.HasKey(row => new { row.ProgrammeId, row.Id });
        reach.Property(row => row.Id).ValueGeneratedNever();
        reach.Property(row => row.Reason).HasMaxLength(TextLimits.Line);
        reach.HasIndex(row => new { row.ProgrammeId, row.PersonId }).HasDatabaseName("ix_reasoned_reaches_person");
        reach.HasOne<Child>().WithMany().HasForeignKey(row => new { row.ProgrammeId, row.ChildId }).OnDelete(DeleteBehavior.Cascade);
        PersonConfiguration.BelongsTo(reach, nameof(ReasonedReach.PersonId));
        PersonConfiguration.BelongsTo(reach, nameof(ReasonedReach.ReviewedById));
        reach.HasRowVersion();
    }
}

internal sealed class ChildTombstoneConfiguration : IEntityTypeConfiguration<ChildTombstone>
{
    public void Configure(EntityTypeBuilder<ChildTombstone> tombstone)
    {
        tombstone.ToTable("child_tombstones");
        tombstone.HasKey(row => new { row.ProgrammeId, row.ChildId });
        tombstone.Property(row => row.ChildId).ValueGeneratedNever();
        tombstone.Property(row => row.Code).HasMaxLength(12);
        tombstone.Property(row => row.Reason).HasMaxLength(TextLimits.Line);
        PersonConfiguration.BelongsTo(tombstone, nameof(ChildTombstone.DestroyedById));
    }
}
