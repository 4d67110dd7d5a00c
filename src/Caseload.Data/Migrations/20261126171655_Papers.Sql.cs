namespace Caseload.Data.Migrations
{
    /// <summary>What EF cannot say: what is written once, and whose rows a person sees.</summary>
    public partial class Papers
    {
        private const string SealsAndPolicies = """
            create trigger family_letters_written_once before update on family_letters for each row execute function refuse_change();
            create trigger family_letters_never_truncated before truncate on family_letters for each statement execute function refuse_change();
            create trigger summary_exports_written_once before update or delete on summary_exports
                for each row execute function refuse_change();
            create trigger summary_exports_never_truncated before truncate on summary_exports
                for each statement execute function refuse_change();
            alter table family_letters enable always trigger family_letters_written_once;
            alter table family_letters enable always trigger family_letters_never_truncated;
            alter table summary_exports enable always trigger summary_exports_written_once;
            alter table summary_exports enable always trigger summary_exports_never_truncated;

            alter table family_letters enable row level security;
            create policy seen on family_letters for select using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_reads()) = 'programme'
                    or (select caseload_reads()) = 'own' and child_id = any ((select caseload_reach())::uuid[])));
            create policy added on family_letters for insert with check (
                programme_id = (select caseload_programme()) and (
                    (select caseload_writes()) = 'programme'
                    or (select caseload_writes()) = 'own' and child_id = any ((select caseload_reach())::uuid[])));

            alter table summary_exports enable row level security;
            create policy seen on summary_exports for select using (
                programme_id = (select caseload_programme()) and (
                    person_id = (select caseload_person()) or (select caseload_purpose()) = 'job'));
            create policy added on summary_exports for insert with check (
                programme_id = (select caseload_programme()) and person_id = (select caseload_person()));
            """;
    }
}
