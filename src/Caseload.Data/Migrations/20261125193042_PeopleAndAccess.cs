using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class PeopleAndAccess : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            // By hand: the activity list becomes the access record, with what it holds.
            migrationBuilder.Sql(RenameActivity);

            migrationBuilder.AddColumn<string>(
                name: "access_policy",
                table: "programmes",
                type: "jsonb",
                nullable: false,
                defaultValueSql: FirstAccessPolicy);

            migrationBuilder.AddColumn<string[]>(
                name: "languages",
                table: "clinicians",
                type: "text[]",
                nullable: false,
                defaultValue: new string[0]);

            migrationBuilder.AddColumn<string[]>(
                name: "working_days",
                table: "clinicians",
                type: "text[]",
                nullable: false,
                defaultValue: new[] { "monday", "tuesday", "wednesday", "thursday", "friday" });

            migrationBuilder.CreateTable(
                name: "access_chain_heads",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    first_number = table.Column<long>(type: "bigint", nullable: false),
                    first_previous_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    last_number = table.Column<long>(type: "bigint", nullable: false),
                    last_hash = table.Column<byte[]>(type: "bytea", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_access_chain_heads", x => x.programme_id);
                    table.ForeignKey(
                        name: "fk_access_chain_heads_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "covers",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    absent_clinician_id = table.Column<Guid>(type: "uuid", nullable: false),
                    covering_clinician_id = table.Column<Guid>(type: "uuid", nullable: false),
                    from_on = table.Column<DateOnly>(type: "date", nullable: false),
                    through_on = table.Column<DateOnly>(type: "date", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_covers", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_covers_other", "absent_clinician_id <> covering_clinician_id");
                    table.CheckConstraint("ck_covers_through_on", "through_on >= from_on");
                    table.ForeignKey(
                        name: "fk_covers_clinicians_programme_id_absent_clinician_id",
                        columns: x => new { x.programme_id, x.absent_clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_covers_clinicians_programme_id_covering_clinician_id",
                        columns: x => new { x.programme_id, x.covering_clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "people",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    sign_in_name = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    normalized_sign_in_name = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    email = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: true),
                    roles = table.Column<string[]>(type: "text[]", nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: true),
                    password_hash = table.Column<string>(type: "text", nullable: true),
                    security_stamp = table.Column<string>(type: "text", nullable: false),
                    authenticator_secret = table.Column<string>(type: "text", nullable: true),
                    authenticator_last_step = table.Column<long>(type: "bigint", nullable: true),
                    failure_count = table.Column<int>(type: "integer", nullable: false),
                    last_failure_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    disabled_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_people", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_people_clinician", "clinician_id is not null or not roles @> array['clinician']");
                    table.CheckConstraint("ck_people_failure_count", "failure_count >= 0");
                    table.CheckConstraint("ck_people_roles", "roles <@ array['administrator', 'team-lead', 'clinician', 'observer']::text[]");
                    table.ForeignKey(
                        name: "fk_people_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_people_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "protection_keys",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    friendly_name = table.Column<string>(type: "text", nullable: false),
                    xml = table.Column<string>(type: "text", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false, defaultValueSql: "now()")
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_protection_keys", x => x.id);
                });

            migrationBuilder.CreateTable(
                name: "setup_links",
                columns: table => new
                {
                    link_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_setup_links", x => x.link_hash);
                });

            migrationBuilder.CreateTable(
                name: "child_tombstones",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    code = table.Column<string>(type: "character varying(12)", maxLength: 12, nullable: false),
                    closed_on = table.Column<DateOnly>(type: "date", nullable: false),
                    visit_count = table.Column<int>(type: "integer", nullable: false),
                    finding_count = table.Column<int>(type: "integer", nullable: false),
                    destroyed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    destroyed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    reason = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_child_tombstones", x => new { x.programme_id, x.child_id });
                    table.ForeignKey(
                        name: "fk_child_tombstones_people_programme_id_destroyed_by_id",
                        columns: x => new { x.programme_id, x.destroyed_by_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "invitations",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    link_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    code_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    expires_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_invitations", x => new { x.programme_id, x.id });
                    table.ForeignKey(
                        name: "fk_invitations_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "person_logins",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    issuer = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    subject = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    linked_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_person_logins", x => new { x.programme_id, x.issuer, x.subject });
                    table.ForeignKey(
                        name: "fk_person_logins_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "person_passkeys",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    credential_id = table.Column<byte[]>(type: "bytea", maxLength: 1024, nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    content = table.Column<string>(type: "jsonb", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_person_passkeys", x => new { x.programme_id, x.credential_id });
                    table.ForeignKey(
                        name: "fk_person_passkeys_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "reasoned_reaches",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    reason = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    from_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    until_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    reviewed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    reviewed_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_reasoned_reaches", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_reasoned_reaches_until_at", "until_at >= from_at");
                    table.ForeignKey(
                        name: "fk_reasoned_reaches_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_reasoned_reaches_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_reasoned_reaches_people_programme_id_reviewed_by_id",
                        columns: x => new { x.programme_id, x.reviewed_by_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "recovery_codes",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    code_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    used_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_recovery_codes", x => new { x.programme_id, x.id });
                    table.ForeignKey(
                        name: "fk_recovery_codes_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "sign_ins",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    started_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    last_seen_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    expires_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    ended_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    ended_why = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: true),
                    method = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    address = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    device = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_sign_ins", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_sign_ins_ended", "(ended_at is null) = (ended_why is null)");
                    table.CheckConstraint("ck_sign_ins_ended_why", "ended_why in ('signed-out', 'idle', 'ended-by-person', 'ended-by-administrator', 'rights-changed', 'disabled', 'expired')");
                    table.CheckConstraint("ck_sign_ins_method", "method in ('password', 'password-and-code', 'password-and-recovery-code', 'passkey', 'identity-provider')");
                    table.ForeignKey(
                        name: "fk_sign_ins_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_access_entries_person",
                table: "access_entries",
                columns: new[] { "programme_id", "person_id", "at" });

            migrationBuilder.CreateIndex(
                name: "ux_access_entries_number",
                table: "access_entries",
                columns: new[] { "programme_id", "number" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_covers_covering",
                table: "covers",
                columns: new[] { "programme_id", "covering_clinician_id" });

            migrationBuilder.CreateIndex(
                name: "ux_invitations_code",
                table: "invitations",
                column: "code_hash",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ux_invitations_link",
                table: "invitations",
                column: "link_hash",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ux_people_clinician",
                table: "people",
                columns: new[] { "programme_id", "clinician_id" },
                unique: true,
                filter: "clinician_id is not null");

            migrationBuilder.CreateIndex(
                name: "ux_people_id",
                table: "people",
                column: "id",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ux_people_sign_in_name",
                table: "people",
                column: "normalized_sign_in_name",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ux_person_logins_subject",
                table: "person_logins",
                columns: new[] { "issuer", "subject" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ux_person_passkeys_credential",
                table: "person_passkeys",
                column: "credential_id",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_reasoned_reaches_person",
                table: "reasoned_reaches",
                columns: new[] { "programme_id", "person_id" });

            migrationBuilder.CreateIndex(
                name: "ix_recovery_codes_person",
                table: "recovery_codes",
                columns: new[] { "programme_id", "person_id" });

            migrationBuilder.CreateIndex(
                name: "ix_sign_ins_person",
                table: "sign_ins",
                columns: new[] { "programme_id", "person_id" },
                filter: "ended_at is null");

            migrationBuilder.CreateIndex(
                name: "ux_sign_ins_id",
                table: "sign_ins",
                column: "id",
                unique: true);

            migrationBuilder.Sql("alter table programmes alter column access_policy drop default;");
            migrationBuilder.Sql(ScopeFunctions);
            migrationBuilder.Sql(RecordFunctions);
            migrationBuilder.Sql(RowPolicies);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(TakeBack);

            migrationBuilder.DropTable(
                name: "access_chain_heads");

            migrationBuilder.DropTable(
                name: "child_tombstones");

            migrationBuilder.DropTable(
                name: "covers");

            migrationBuilder.DropTable(
                name: "invitations");

            migrationBuilder.DropTable(
                name: "person_logins");

            migrationBuilder.DropTable(
                name: "person_passkeys");

            migrationBuilder.DropTable(
                name: "protection_keys");

            migrationBuilder.DropTable(
                name: "reasoned_reaches");

            migrationBuilder.DropTable(
                name: "recovery_codes");

            migrationBuilder.DropTable(
                name: "setup_links");

            migrationBuilder.DropTable(
                name: "sign_ins");

            migrationBuilder.DropTable(
                name: "people");

            migrationBuilder.DropColumn(
                name: "access_policy",
                table: "programmes");

            migrationBuilder.DropColumn(
                name: "languages",
                table: "clinicians");

            migrationBuilder.DropColumn(
                name: "working_days",
                table: "clinicians");
        }
    }
}
