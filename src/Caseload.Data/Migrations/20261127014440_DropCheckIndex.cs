using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace Caseload.Data.Migrations
{
    /// <inheritdoc />
    public partial class DropCheckIndex : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_item_statuses_check",
                table: "item_statuses");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateIndex(
                name: "ix_item_statuses_check",
                table: "item_statuses",
                columns: new[] { "programme_id", "check_from_on", "check_through_on" },
                filter: "check_from_on is not null");
        }
    }
}
