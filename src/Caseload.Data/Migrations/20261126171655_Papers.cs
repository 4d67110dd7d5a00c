using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class Papers : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateTable(
                name: "family_letters",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    child_id = table.Column<Guid>(type: "uuid", nullable: false),
                    language = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    as_of_on = table.Column<DateOnly>(type: "date", nullable: false),
                    parts = table.Column<string>(type: "jsonb", nullable: false),
                    contact = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    saved_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    who = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_family_letters", x => new { x.programme_id, x.id });
                    table.ForeignKey(
                        name: "fk_family_letters_children_programme_id_child_id",
                        columns: x => new { x.programme_id, x.child_id },
                        principalTable: "children",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "summary_exports",
                columns: table => new
                {
                    programme_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    as_of_on = table.Column<DateOnly>(type: "date", nullable: false),
                    made_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    format = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    scope = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: false),
                    child_count = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_summary_exports", x => new { x.programme_id, x.id });
                    table.CheckConstraint("ck_summary_exports_format", "format in ('csv', 'xlsx', 'pdf')");
                    table.ForeignKey(
                        name: "fk_summary_exports_people_programme_id_person_id",
                        columns: x => new { x.programme_id, x.person_id },
                        principalTable: "people",
                        principalColumns: new[] { "programme_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_family_letters_child",
                table: "family_letters",
                columns: new[] { "programme_id", "child_id" });

            migrationBuilder.CreateIndex(
                name: "ix_summary_exports_person",
                table: "summary_exports",
                columns: new[] { "programme_id", "person_id", "made_at" });
            migrationBuilder.Sql(SealsAndPolicies);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropTable(
                name: "family_letters");

            migrationBuilder.DropTable(
                name: "summary_exports");
        }
    }
}
