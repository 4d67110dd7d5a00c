using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class Initial : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateTable(
                name: "programmes",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    time_zone = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    policy = table.Column<string>(type: "jsonb", nullable: false),
                    active_set_key = table.Column<string>(type: "character varying(161)", maxLength: 161, nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_programmes", x => x.programme_id);
                });

            migrationBuilder.CreateTable(
                name: "child_code_counters",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    last_number = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_child_code_counters", x => x.programme_id);
                    table.CheckConstraint("ck_child_code_counters_last_number", "last_number >= 0");
                    table.ForeignKey(
                        name: "fk_child_code_counters_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "clinicians",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    initials = table.Column<string>(type: "character varying(6)", maxLength: 6, nullable: false),
                    discipline = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    is_active = table.Column<bool>(type: "boolean", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_clinicians", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_clinicians_discipline", "discipline in ('occupational-therapy', 'physical-therapy', 'speech-language', 'other')");
                    table.ForeignKey(
                        name: "fk_clinicians_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "reference_set_versions",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    key = table.Column<string>(type: "character varying(161)", maxLength: 161, nullable: false),
                    name = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    version = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    published_on = table.Column<DateOnly>(type: "date", nullable: false),
                    based_on = table.Column<string>(type: "character varying(161)", maxLength: 161, nullable: true),
                    change_reason = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    content = table.Column<string>(type: "text", nullable: false),
                    published_by = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_reference_set_versions", x => new { x.programme_id, x.key });
                    table.CheckConstraint("ck_reference_set_versions_key", "key = name || '@' || version");
                    table.CheckConstraint("ck_reference_set_versions_reason", "based_on is null or change_reason is not null");
                    table.ForeignKey(
                        name: "fk_reference_set_versions_based_on",
                        columns: x => new { x.programme_id, x.based_on },
                        principalTable: "reference_set_versions",
                        principalColumns: new[] { "programme_id", "key" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_reference_set_versions_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "activity_entries",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: true),
                    at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    who = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: true),
                    what = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    detail = table.Column<string>(type: "jsonb", nullable: false),
                    attempt_id = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_activity_entries", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_activity_entries_what", "what ~ '^[a-z]+(-[a-z]+)*$'");
                    table.ForeignKey(
                        name: "fk_activity_entries_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_activity_entries_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "children",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    code = table.Column<string>(type: "character varying(12)", maxLength: 12, nullable: false),
                    given_name = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    family_name = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    born_on = table.Column<DateOnly>(type: "date", nullable: false),
                    gestation_days = table.Column<int>(type: "integer", nullable: true),
                    enrolled_on = table.Column<DateOnly>(type: "date", nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    closed_on = table.Column<DateOnly>(type: "date", nullable: true),
                    closing_reason = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    updated_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_children", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_children_closed", "(closed_on is null) = (closing_reason is null)");
                    table.CheckConstraint("ck_children_closed_on", "closed_on >= enrolled_on");
                    table.CheckConstraint("ck_children_code", "code ~ '^K-[0-9]{3,}$'");
                    table.CheckConstraint("ck_children_enrolled_on", "enrolled_on >= born_on");
                    table.CheckConstraint("ck_children_gestation_days", "gestation_days between 140 and 314");
                    table.ForeignKey(
                        name: "fk_children_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_children_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "child_concerns",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    concern = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    recorded_on = table.Column<DateOnly>(type: "date", nullable: false),
                    resolved_on = table.Column<DateOnly>(type: "date", nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_child_concerns", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_child_concerns_resolved_on", "resolved_on >= recorded_on");
                    table.ForeignKey(
                        name: "fk_child_concerns_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "child_exclusions",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    exclusion = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    from_on = table.Column<DateOnly>(type: "date", nullable: false),
                    through_on = table.Column<DateOnly>(type: "date", nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_child_exclusions", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_child_exclusions_exclusion", "exclusion in ('hip-orthosis', 'hip-dysplasia', 'cervical-instability', 'torticollis', 'tracheostomy', 'bone-fragility', 'fracture-or-plexus-injury', 'spinal-defect-or-wound', 'raised-intracranial-pressure-or-shunt', 'recent-surgery', 'aspiration-risk', 'foot-wound', 'reflux', 'unstable')");
                    table.CheckConstraint("ck_child_exclusions_through_on", "through_on >= from_on");
                    table.ForeignKey(
                        name: "fk_child_exclusions_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "item_statuses",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    item = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    state = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    step = table.Column<short>(type: "smallint", nullable: false),
                    is_confirmed = table.Column<bool>(type: "boolean", nullable: false),
                    since_on = table.Column<DateOnly>(type: "date", nullable: true),
                    concern = table.Column<short>(type: "smallint", nullable: false),
                    expected_from_on = table.Column<DateOnly>(type: "date", nullable: false),
                    usual_from_on = table.Column<DateOnly>(type: "date", nullable: true),
                    usual_through_on = table.Column<DateOnly>(type: "date", nullable: true),
                    latest_through_on = table.Column<DateOnly>(type: "date", nullable: true),
                    check_from_on = table.Column<DateOnly>(type: "date", nullable: true),
                    check_through_on = table.Column<DateOnly>(type: "date", nullable: true),
                    check_purpose = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    next_change_on = table.Column<DateOnly>(type: "date", nullable: true),
                    computed_for_on = table.Column<DateOnly>(type: "date", nullable: false),
                    set_key = table.Column<string>(type: "character varying(161)", maxLength: 161, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_item_statuses", x => new { x.programme_id, x.child_id, x.item });
                    table.CheckConstraint("ck_item_statuses_check", "(check_purpose = 'none') = (check_from_on is null) and (check_purpose = 'none') = (check_through_on is null)");
                    table.CheckConstraint("ck_item_statuses_check_purpose", "check_purpose in ('none', 'first-look', 'window-opening', 'before-deadline', 'after-deadline', 'confirm', 'recheck', 'repeat-inconclusive')");
                    table.CheckConstraint("ck_item_statuses_check_span", "check_through_on >= check_from_on");
                    table.CheckConstraint("ck_item_statuses_concern", "concern between 0 and 4");
                    table.CheckConstraint("ck_item_statuses_next_change_on", "next_change_on > computed_for_on");
                    table.CheckConstraint("ck_item_statuses_state", "state in ('not-yet-expected', 'expected-not-yet-seen', 'present-as-expected', 'fading', 'integrated', 'awaiting-confirmation', 'persisting', 'deadline-passed-unchecked', 'absent-when-expected', 'one-sided', 'obligatory', 'returned', 'emerging', 'established', 'late')");
                    table.CheckConstraint("ck_item_statuses_step", "step between 0 and 2");
                    table.ForeignKey(
                        name: "fk_item_statuses_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_item_statuses_reference_set_versions_programme_id_set_key",
                        columns: x => new { x.programme_id, x.set_key },
                        principalTable: "reference_set_versions",
                        principalColumns: new[] { "programme_id", "key" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "visits",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    clinician_id = table.Column<Guid>(type: "uuid", nullable: true),
                    visited_on = table.Column<DateOnly>(type: "date", nullable: false),
                    started_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    finished_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    place = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_visits", x => new { x.programme_id, x.id });
                    table.UniqueConstraint("ak_visits_programme_id_child_id_id", x => new { x.programme_id, x.child_id, x.id });
                    table.CheckConstraint("ck_visits_finished_at", "finished_at >= started_at");
                    table.ForeignKey(
                        name: "fk_visits_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_visits_clinicians_programme_id_clinician_id",
                        columns: x => new { x.programme_id, x.clinician_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "findings",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    visit_id = table.Column<Guid>(type: "uuid", nullable: false),
                    item = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    observed_on = table.Column<DateOnly>(type: "date", nullable: false),
                    side = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    response = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: true),
                    state = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: true),
                    state_scale = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    not_tested = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: true),
                    variant = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    corrects_id = table.Column<Guid>(type: "uuid", nullable: true),
                    correction_reason = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    is_withdrawal = table.Column<bool>(type: "boolean", nullable: false),
                    recorded_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    recorded_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    set_key = table.Column<string>(type: "character varying(161)", maxLength: 161, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_findings", x => new { x.programme_id, x.id });
                    table.UniqueConstraint("ak_findings_programme_id_child_id_id", x => new { x.programme_id, x.child_id, x.id });
                    table.CheckConstraint("ck_findings_correction", "corrects_id is null or length(trim(correction_reason)) > 0");
                    table.CheckConstraint("ck_findings_corrects_other", "corrects_id <> id");
                    table.CheckConstraint("ck_findings_not_tested", "not_tested in ('asleep', 'tired', 'crying', 'just-fed', 'hungry', 'first-day', 'medication', 'maternal-medication', 'withdrawal', 'illness', 'pain-or-procedure', 'cold', 'cast-or-harness', 'head-preference', 'limb-injury', 'surroundings', 'head-not-midline', 'repeated-trials', 'enough-handling', 'family-declined', 'excluded')");
                    table.CheckConstraint("ck_findings_response", "response in ('absent', 'weak', 'typical', 'brisk', 'obligatory', 'partial', 'complete')");
                    table.CheckConstraint("ck_findings_says_something", "is_withdrawal and response is null and not_tested is null or not is_withdrawal and (response is null) <> (not_tested is null)");
                    table.CheckConstraint("ck_findings_side", "side in ('both', 'left', 'right')");
                    table.CheckConstraint("ck_findings_state", "state in ('deep-sleep', 'light-sleep', 'drowsy', 'quiet-alert', 'active-alert', 'crying')");
                    table.CheckConstraint("ck_findings_withdrawal", "not is_withdrawal or corrects_id is not null");
                    table.ForeignKey(
                        name: "fk_findings_clinicians_programme_id_recorded_by_id",
                        columns: x => new { x.programme_id, x.recorded_by_id },
                        principalTable: "clinicians",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_findings_corrects",
                        columns: x => new { x.programme_id, x.child_id, x.corrects_id },
                        principalTable: "findings",
                        principalColumns: new[] { "programme_id", "child_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_findings_reference_set_versions_programme_id_set_key",
                        columns: x => new { x.programme_id, x.set_key },
                        principalTable: "reference_set_versions",
                        principalColumns: new[] { "programme_id", "key" },
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_findings_visits_programme_id_child_id_visit_id",
                        columns: x => new { x.programme_id, x.child_id, x.visit_id },
                        principalTable: "visits",
                        principalColumns: new[] { "programme_id", "child_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "visit_drafts",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    visit_id = table.Column<Guid>(type: "uuid", nullable: false),
                    form = table.Column<string>(type: "jsonb", nullable: false),
                    updated_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_visit_drafts", x => new { x.programme_id, x.visit_id });
                    table.ForeignKey(
                        name: "fk_visit_drafts_visits_programme_id_visit_id",
                        columns: x => new { x.programme_id, x.visit_id },
                        principalTable: "visits",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateIndex(
                name: "ix_activity_entries_child",
                table: "activity_entries",
                columns: new[] { "programme_id", "child_id", "at" });

            migrationBuilder.CreateIndex(
                name: "ux_activity_entries_attempt",
                table: "activity_entries",
                columns: new[] { "programme_id", "attempt_id" },
                unique: true,
                filter: "attempt_id is not null");

            migrationBuilder.CreateIndex(
                name: "ix_child_concerns_child",
                table: "child_concerns",
                columns: new[] { "programme_id", "child_id" });

            migrationBuilder.CreateIndex(
                name: "ix_child_exclusions_child",
                table: "child_exclusions",
                columns: new[] { "programme_id", "child_id" });

            migrationBuilder.CreateIndex(
                name: "ix_children_clinician",
                table: "children",
                columns: new[] { "programme_id", "clinician_id" });

            migrationBuilder.CreateIndex(
                name: "ux_children_code",
                table: "children",
                columns: new[] { "programme_id", "code" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_findings_visit",
                table: "findings",
                columns: new[] { "programme_id", "child_id", "visit_id" });

            migrationBuilder.CreateIndex(
                name: "ux_findings_corrects",
                table: "findings",
                columns: new[] { "programme_id", "child_id", "corrects_id" },
                unique: true,
                filter: "corrects_id is not null");

            migrationBuilder.CreateIndex(
                name: "ix_item_statuses_check",
                table: "item_statuses",
                columns: new[] { "programme_id", "check_from_on", "check_through_on" },
                filter: "check_from_on is not null");

            migrationBuilder.CreateIndex(
                name: "ix_item_statuses_next_change",
                table: "item_statuses",
                columns: new[] { "programme_id", "next_change_on" },
                filter: "next_change_on is not null");

            migrationBuilder.CreateIndex(
                name: "ix_visits_open",
                table: "visits",
                column: "programme_id",
                filter: "finished_at is null");

            migrationBuilder.CreateIndex(
                name: "ix_visits_visited_on",
                table: "visits",
                columns: new[] { "programme_id", "visited_on" });

            // By hand from here on: what EF cannot say.
            // Findings and published sets are written once. ENABLE ALWAYS, because session_replication_role = replica
            // silences ordinary triggers; only the owner's ALTER TABLE could take these off.
            migrationBuilder.Sql(
                """
                create function refuse_change() returns trigger language plpgsql as $$
                begin
                    raise exception 'Rows of % are written once; % is refused. Add a new row instead.', tg_table_name, tg_op
                        using errcode = 'restrict_violation';
                end
                $$;

                create trigger findings_written_once before update or delete on findings
                    for each row execute function refuse_change();
                create trigger findings_never_truncated before truncate on findings
                    for each statement execute function refuse_change();
                alter table findings enable always trigger findings_written_once;
                alter table findings enable always trigger findings_never_truncated;

                create trigger reference_set_versions_written_once before update or delete on reference_set_versions
                    for each row execute function refuse_change();
                create trigger reference_set_versions_never_truncated before truncate on reference_set_versions
                    for each statement execute function refuse_change();
                alter table reference_set_versions enable always trigger reference_set_versions_written_once;
                alter table reference_set_versions enable always trigger reference_set_versions_never_truncated;
                """
            );

            // A programme and its first set point at each other: checked when the transaction ends.
            migrationBuilder.Sql(
                """
                alter table programmes add constraint fk_programmes_active_set
                    foreign key (programme_id, active_set_key) references reference_set_versions (programme_id, key)
                    deferrable initially deferred;
                """
            );
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql("alter table programmes drop constraint fk_programmes_active_set;");

            migrationBuilder.DropTable(
                name: "activity_entries");

            migrationBuilder.DropTable(
                name: "child_code_counters");

            migrationBuilder.DropTable(
                name: "child_concerns");

            migrationBuilder.DropTable(
                name: "child_exclusions");

            migrationBuilder.DropTable(
                name: "findings");

            migrationBuilder.DropTable(
                name: "item_statuses");

            migrationBuilder.DropTable(
                name: "visit_drafts");

            migrationBuilder.DropTable(
                name: "reference_set_versions");

            migrationBuilder.DropTable(
                name: "visits");

            migrationBuilder.DropTable(
                name: "children");

            migrationBuilder.DropTable(
                name: "clinicians");

            migrationBuilder.DropTable(
                name: "programmes");

            migrationBuilder.Sql("drop function refuse_change();");
        }
    }
}
