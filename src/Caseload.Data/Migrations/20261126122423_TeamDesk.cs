using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class TeamDesk : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<string>(
                name: "workload_policy",
                table: "programmes",
                type: "jsonb",
                nullable: false,
                defaultValueSql: FirstWorkloadPolicy);

            migrationBuilder.AlterColumn<Guid>(
                name: "covering_clinician_id",
                table: "covers",
                type: "uuid",
                nullable: true,
                oldClrType: typeof(Guid),
                oldType: "uuid");

            migrationBuilder.AddColumn<Guid>(
                name: "child_id",
                table: "covers",
                type: "uuid",
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "most_children",
                table: "clinicians",
                type: "integer",
                nullable: true);

            migrationBuilder.AddColumn<string[]>(
                name: "zones",
                table: "clinicians",
                type: "text[]",
                nullable: false,
                defaultValue: new string[0]);

            // By hand: what rows start with is said by the application from here on.
            migrationBuilder.Sql("alter table programmes alter column workload_policy drop default;");
            migrationBuilder.Sql("alter table clinicians alter column zones drop default;");

            migrationBuilder.AddColumn<string>(
                name: "language",
                table: "children",
                type: "character varying(80)",
                maxLength: 80,
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "needed_discipline",
                table: "children",
                type: "character varying(40)",
                maxLength: 40,
                nullable: true);

            migrationBuilder.AddColumn<DateOnly>(
                name: "referred_on",
                table: "children",
                type: "date",
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "visits_in_four_weeks",
                table: "children",
                type: "integer",
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "zone",
                table: "children",
                type: "character varying(80)",
                maxLength: 80,
                nullable: true);

            migrationBuilder.CreateTable(
                name: "assignments",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: false),
                    from_on = table.Column<DateOnly>(type: "date", nullable: false),
                    through_on = table.Column<DateOnly>(type: "date", nullable: true),
                    effect_on = table.Column<DateOnly>(type: "date", nullable: true),
                    handover = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    recorded_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    who = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    end_recorded_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    read_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_assignments", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_assignments_end", "(through_on is null) = (end_recorded_at is null)");
                    table.CheckConstraint("ck_assignments_through_on", "through_on >= from_on");
                    table.ForeignKey(
                        name: "fk_assignments_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_assignments_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "calendar_feeds",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    secret_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    revoked_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    last_read_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_calendar_feeds", x => new { x.programme_id, x.id });
                    table.ForeignKey(
                        name: "fk_calendar_feeds_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "never_pairs",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: false),
                    reason = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    who = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    recorded_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_never_pairs", x => new { x.programme_id, x.child_id, x.clinician_id });
                    table.ForeignKey(
                        name: "fk_never_pairs_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_never_pairs_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "planned_visits",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: false),
                    planned_on = table.Column<DateOnly>(type: "date", nullable: false),
                    starts_at = table.Column<TimeOnly>(type: "time without time zone", nullable: true),
                    is_fixed = table.Column<bool>(type: "boolean", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    revision = table.Column<int>(type: "integer", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_planned_visits", x => new { x.programme_id, x.id });
                    table.ForeignKey(
                        name: "fk_planned_visits_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_planned_visits_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.AddCheckConstraint(
                name: "ck_covers_child",
                table: "covers",
                sql: "child_id is null or covering_clinician_id is not null");

            migrationBuilder.AddCheckConstraint(
                name: "ck_clinicians_most_children",
                table: "clinicians",
                sql: "most_children between 0 and 500");

            migrationBuilder.AddCheckConstraint(
                name: "ck_children_needed_discipline",
                table: "children",
                sql: "needed_discipline in ('occupational-therapy', 'physical-therapy', 'speech-language', 'other')");

            migrationBuilder.AddCheckConstraint(
                name: "ck_children_referred_on",
                table: "children",
                sql: "referred_on between born_on and enrolled_on");

            migrationBuilder.AddCheckConstraint(
                name: "ck_children_visits_in_four_weeks",
                table: "children",
                sql: "visits_in_four_weeks between 1 and 40");

            migrationBuilder.CreateIndex(
                name: "ix_assignments_child",
                table: "assignments",
                columns: new[] { "programme_id", "child_id", "from_on" });

            migrationBuilder.CreateIndex(
                name: "ix_assignments_effect_on",
                table: "assignments",
                columns: new[] { "programme_id", "effect_on" },
                filter: "effect_on is not null");

            migrationBuilder.CreateIndex(
                name: "ux_assignments_open",
                table: "assignments",
                columns: new[] { "programme_id", "child_id" },
                unique: true,
                filter: "through_on is null");

            migrationBuilder.CreateIndex(
                name: "ux_calendar_feeds_person",
                table: "calendar_feeds",
                columns: new[] { "programme_id", "person_id" },
                unique: true,
                filter: "revoked_at is null");

            migrationBuilder.CreateIndex(
                name: "ux_calendar_feeds_secret",
                table: "calendar_feeds",
                column: "secret_hash",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_planned_visits_clinician",
                table: "planned_visits",
                columns: new[] { "programme_id", "clinician_id", "planned_on" });

            migrationBuilder.CreateIndex(
                name: "ux_planned_visits_day",
                table: "planned_visits",
                columns: new[] { "programme_id", "child_id", "planned_on" },
                unique: true);

            migrationBuilder.AddForeignKey(
                name: "fk_covers_children_programme_id_child_id",
                table: "covers",
                columns: new[] { "programme_id", "child_id" },
                principalTable: "children",
                principalColumns: new[] { "programme_id", "id" },
                onDelete: ReferentialAction.Cascade);

            migrationBuilder.Sql(FirstAssignments);
            migrationBuilder.Sql(ReachWithChildCovers);
            migrationBuilder.Sql(ExplainWithChildCovers);
            migrationBuilder.Sql(RowPolicies);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            // Covers of single children cannot be said in the earlier form.
            migrationBuilder.Sql("delete from covers where child_id is not null or covering_clinician_id is null;");
            migrationBuilder.Sql("drop policy limited on clinicians;");
            migrationBuilder.Sql(ReachWithoutChildCovers);
            migrationBuilder.Sql(ExplainWithoutChildCovers);

            migrationBuilder.DropForeignKey(
                name: "fk_covers_children_programme_id_child_id",
                table: "covers");

            migrationBuilder.DropTable(
                name: "assignments");

            migrationBuilder.DropTable(
                name: "calendar_feeds");

            migrationBuilder.DropTable(
                name: "never_pairs");

            migrationBuilder.DropTable(
                name: "planned_visits");

            migrationBuilder.DropCheckConstraint(
                name: "ck_covers_child",
                table: "covers");

            migrationBuilder.DropCheckConstraint(
                name: "ck_clinicians_most_children",
                table: "clinicians");

            migrationBuilder.DropCheckConstraint(
                name: "ck_children_needed_discipline",
                table: "children");

            migrationBuilder.DropCheckConstraint(
                name: "ck_children_referred_on",
                table: "children");

            migrationBuilder.DropCheckConstraint(
                name: "ck_children_visits_in_four_weeks",
                table: "children");

            migrationBuilder.DropColumn(
                name: "workload_policy",
                table: "programmes");

            migrationBuilder.DropColumn(
                name: "child_id",
                table: "covers");

            migrationBuilder.DropColumn(
                name: "most_children",
                table: "clinicians");

            migrationBuilder.DropColumn(
                name: "zones",
                table: "clinicians");

            migrationBuilder.DropColumn(
                name: "language",
                table: "children");

            migrationBuilder.DropColumn(
                name: "needed_discipline",
                table: "children");

            migrationBuilder.DropColumn(
                name: "referred_on",
                table: "children");

            migrationBuilder.DropColumn(
                name: "visits_in_four_weeks",
                table: "children");

            migrationBuilder.DropColumn(
                name: "zone",
                table: "children");

            migrationBuilder.AlterColumn<Guid>(
                name: "covering_clinician_id",
                table: "covers",
                type: "uuid",
                nullable: false,
                defaultValue: new Guid("00000000-0000-0000-0000-000000000000"),
                oldClrType: typeof(Guid),
                oldType: "uuid",
                oldNullable: true);
        }
    }
}
