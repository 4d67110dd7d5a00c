using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class OneOpenVisit : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_visits_open",
                table: "visits");

            migrationBuilder.CreateIndex(
                name: "ux_visits_open",
                table: "visits",
                columns: new[] { "programme_id", "child_id" },
                unique: true,
                filter: "finished_at is null");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ux_visits_open",
                table: "visits");

            migrationBuilder.CreateIndex(
                name: "ix_visits_open",
                table: "visits",
                column: "programme_id",
                filter: "finished_at is null");
        }
    }
}
