using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class AlertsAndDigest : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<string>(
                name: "alert_policy",
                table: "programmes",
                type: "jsonb",
                nullable: false,
                defaultValueSql: FirstAlertPolicy);

            migrationBuilder.AddColumn<bool>(
                name: "wants_digest_mail",
                table: "people",
                type: "boolean",
                nullable: false,
                defaultValue: true);

            // By hand: what programmes start with is said by the application from here on.
            migrationBuilder.Sql("alter table programmes alter column alert_policy drop default;");
            migrationBuilder.Sql("alter table people alter column wants_digest_mail drop default;");

            migrationBuilder.CreateTable(
                name: "alerts",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    item = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    kind = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    step = table.Column<short>(type: "smallint", nullable: false),
                    severity = table.Column<short>(type: "smallint", nullable: false),
                    since_on = table.Column<DateOnly>(type: "date", nullable: true),
                    reasons = table.Column<string>(type: "jsonb", nullable: false),
                    set_key = table.Column<string>(type: "character varying(161)", maxLength: 161, nullable: false),
                    state = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    raised_on = table.Column<DateOnly>(type: "date", nullable: false),
                    raised_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    answer_by = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    escalated_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    back_on = table.Column<DateOnly>(type: "date", nullable: true),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    closed_because = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: true),
                    closing_finding_id = table.Column<Guid>(type: "uuid", nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_alerts", x => new { x.programme_id, x.id });
                    table.UniqueConstraint("ak_alerts_programme_id_child_id_id", x => new { x.programme_id, x.child_id, x.id });
                    table.CheckConstraint("ck_alerts_back_on", "(state = 'set-aside') = (back_on is not null)");
                    table.CheckConstraint("ck_alerts_closed", "(state = 'closed') = (closed_at is not null) and (closed_at is null) = (closed_because is null)");
                    table.CheckConstraint("ck_alerts_closed_because", "closed_because in ('new-finding', 'became-another', 'no-longer-found', 'visited', 'assigned', 'sign-settled', 'case-closed')");
                    table.CheckConstraint("ck_alerts_kind", "kind in ('persisting', 'deadline-passed', 'absent-when-expected', 'one-sided', 'obligatory', 'returned', 'late', 'confirm-overdue', 'urgent-sign', 'not-visited', 'unassigned')");
                    table.CheckConstraint("ck_alerts_severity", "severity between 1 and 4");
                    table.CheckConstraint("ck_alerts_state", "state in ('open', 'acknowledged', 'acted-on', 'set-aside', 'closed')");
                    table.CheckConstraint("ck_alerts_step", "step between 0 and 2");
                    table.ForeignKey(
                        name: "fk_alerts_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_alerts_reference_set_versions_programme_id_set_key",
                        columns: x => new { x.programme_id, x.set_key },
                        principalTable: "reference_set_versions",
                        principalColumns: new[] { "programme_id", "key" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "child_signs",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    sign = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    seen_on = table.Column<DateOnly>(type: "date", nullable: false),
                    settled_on = table.Column<DateOnly>(type: "date", nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    xmin = table.Column<uint>(type: "xid", rowVersion: true, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_child_signs", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_child_signs_settled_on", "settled_on >= seen_on");
                    table.CheckConstraint("ck_child_signs_sign", "sign in ('loss-of-skill', 'new-seizure', 'lethargy', 'bulging-fontanelle', 'feeding-collapse', 'apnoea', 'unexplained-injury')");
                    table.ForeignKey(
                        name: "fk_child_signs_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "child_statuses",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    last_visit_on = table.Column<DateOnly>(type: "date", nullable: true),
                    next_change_on = table.Column<DateOnly>(type: "date", nullable: true),
                    computed_for_on = table.Column<DateOnly>(type: "date", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_child_statuses", x => new { x.programme_id, x.child_id });
                    table.CheckConstraint("ck_child_statuses_next_change_on", "next_change_on > computed_for_on");
                    table.ForeignKey(
                        name: "fk_child_statuses_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "digests",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    scope = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    week = table.Column<string>(type: "character varying(8)", maxLength: 8, nullable: false),
                    as_of_on = table.Column<DateOnly>(type: "date", nullable: false),
                    made_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    content = table.Column<string>(type: "jsonb", nullable: false),
                    subject = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    text = table.Column<string>(type: "text", nullable: false),
                    html = table.Column<string>(type: "text", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_digests", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_digests_scope", "scope in ('clinician', 'programme')");
                    table.CheckConstraint("ck_digests_week", "week ~ '^[0-9]{4}-W[0-5][0-9]$'");
                    table.ForeignKey(
                        name: "fk_digests_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "job_runs",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    job = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    period = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    node = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: false),
                    started_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    lease_until = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    attempt_count = table.Column<int>(type: "integer", nullable: false),
                    done_count = table.Column<int>(type: "integer", nullable: false),
                    total_count = table.Column<int>(type: "integer", nullable: true),
                    finished_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    outcome = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: true),
                    result = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_job_runs", x => new { x.programme_id, x.job, x.period });
                    table.CheckConstraint("ck_job_runs_finished", "(finished_at is null) = (outcome is null)");
                    table.CheckConstraint("ck_job_runs_outcome", "outcome in ('done', 'failed')");
                    table.ForeignKey(
                        name: "fk_job_runs_programmes_programme_id",
                        column: x => x.programme_id,
                        principalTable: "programmes",
                        principalColumn: "programme_id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "outgoing_messages",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    key = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    kind = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    address = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    subject = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    text = table.Column<string>(type: "text", nullable: false),
                    html = table.Column<string>(type: "text", nullable: true),
                    is_optional = table.Column<bool>(type: "boolean", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    next_try_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    attempt_count = table.Column<int>(type: "integer", nullable: false),
                    leased_by = table.Column<string>(type: "character varying(80)", maxLength: 80, nullable: true),
                    lease_until = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    sent_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    parked_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    last_error = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_outgoing_messages", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_outgoing_messages_end", "num_nonnulls(next_try_at, sent_at, parked_at) = 1 and attempt_count >= 0");
                    table.CheckConstraint("ck_outgoing_messages_kind", "kind in ('alert', 'escalation', 'digest', 'test')");
                    table.CheckConstraint("ck_outgoing_messages_lease", "(leased_by is null) = (lease_until is null)");
                    table.ForeignKey(
                        name: "fk_outgoing_messages_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "alert_steps",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    alert_id = table.Column<Guid>(type: "uuid", nullable: false),
                    what = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    who = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: true),
                    on = table.Column<DateOnly>(type: "date", nullable: true),
                    note = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_alert_steps", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_alert_steps_what", "what in ('worsened', 'eased', 'acknowledged', 'rechecked', 'told-family', 'told-physician', 'referred', 'other', 'set-aside', 'came-back', 'escalated', 'closed')");
                    table.ForeignKey(
                        name: "fk_alert_steps_alerts_programme_id_child_id_alert_id",
                        columns: x => new { x.programme_id, x.child_id, x.alert_id },
                        principalTable: "alerts",
                        principalColumns: new[] { "programme_id", "child_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateIndex(
                name: "ix_alert_steps_alert",
                table: "alert_steps",
                columns: new[] { "programme_id", "alert_id" });

            migrationBuilder.CreateIndex(
                name: "ix_alerts_answer_by",
                table: "alerts",
                columns: new[] { "programme_id", "answer_by" },
                filter: "answer_by is not null");

            migrationBuilder.CreateIndex(
                name: "ix_alerts_back_on",
                table: "alerts",
                columns: new[] { "programme_id", "back_on" },
                filter: "back_on is not null");

            migrationBuilder.CreateIndex(
                name: "ix_alerts_closed_at",
                table: "alerts",
                columns: new[] { "programme_id", "closed_at" },
                filter: "closed_at is not null");

            migrationBuilder.CreateIndex(
                name: "ux_alerts_open",
                table: "alerts",
                columns: new[] { "programme_id", "child_id", "item", "kind" },
                unique: true,
                filter: "closed_at is null");

            migrationBuilder.CreateIndex(
                name: "ux_child_signs_standing",
                table: "child_signs",
                columns: new[] { "programme_id", "child_id", "sign" },
                unique: true,
                filter: "settled_on is null");

            migrationBuilder.CreateIndex(
                name: "ix_child_statuses_next_change",
                table: "child_statuses",
                columns: new[] { "programme_id", "next_change_on" },
                filter: "next_change_on is not null");

            migrationBuilder.CreateIndex(
                name: "ux_digests_week",
                table: "digests",
                columns: new[] { "programme_id", "person_id", "scope", "week" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_job_runs_started",
                table: "job_runs",
                columns: new[] { "programme_id", "started_at" });

            migrationBuilder.CreateIndex(
                name: "ix_outgoing_messages_created",
                table: "outgoing_messages",
                columns: new[] { "programme_id", "created_at" });

            migrationBuilder.CreateIndex(
                name: "ix_outgoing_messages_next_try",
                table: "outgoing_messages",
                columns: new[] { "programme_id", "next_try_at" },
                filter: "next_try_at is not null");

            migrationBuilder.CreateIndex(
                name: "ux_outgoing_messages_key",
                table: "outgoing_messages",
                columns: new[] { "programme_id", "key" },
                unique: true);

            migrationBuilder.Sql(Seals);
            migrationBuilder.Sql(RowPolicies);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropTable(
                name: "alert_steps");

            migrationBuilder.DropTable(
                name: "child_signs");

            migrationBuilder.DropTable(
                name: "child_statuses");

            migrationBuilder.DropTable(
                name: "digests");

            migrationBuilder.DropTable(
                name: "job_runs");

            migrationBuilder.DropTable(
                name: "outgoing_messages");

            migrationBuilder.DropTable(
                name: "alerts");

            migrationBuilder.DropColumn(
                name: "alert_policy",
                table: "programmes");

            migrationBuilder.DropColumn(
                name: "wants_digest_mail",
                table: "people");
            migrationBuilder.Sql("drop function refuse_alert_deletion();");
        }
    }
}
