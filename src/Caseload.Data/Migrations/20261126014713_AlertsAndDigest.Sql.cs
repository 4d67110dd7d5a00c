namespace Caseload.Data.Migrations
{
    /// <summary>What EF cannot say: what is never deleted, and whose rows a person sees.</summary>
    public partial class AlertsAndDigest
    {
        private const string FirstAlertPolicy = """
            '{"notVisitedWeeks":8,"sameDayHours":4,"actDays":2,"advisoryDays":7,"watchDays":14,"digestDay":1,"digestHour":7,"mailNaming":0}'::jsonb
            """;

        private const string Seals = """
            -- Checked when the transaction ends: a child's record is destroyed findings first.
            alter table alerts add constraint fk_alerts_closing_finding
                foreign key (programme_id, child_id, closing_finding_id) references findings (programme_id, child_id, id)
                deferrable initially deferred;

            -- Alerts and their steps go only with the child's whole record.
            create function refuse_alert_deletion() returns trigger
                language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
            begin
                if exists (select from children where programme_id = old.programme_id and id = old.child_id) then
                    raise exception 'Alerts are closed, never deleted.' using errcode = 'restrict_violation';
                end if;
                return old;
            end
            $$;
            create trigger alerts_never_deleted before delete on alerts for each row execute function refuse_alert_deletion();
            create trigger alert_steps_never_deleted before delete on alert_steps for each row execute function refuse_alert_deletion();
            create trigger alert_steps_written_once before update on alert_steps for each row execute function refuse_change();
            create trigger alerts_never_truncated before truncate on alerts for each statement execute function refuse_change();
            create trigger alert_steps_never_truncated before truncate on alert_steps for each statement execute function refuse_change();
            create trigger digests_written_once before update or delete on digests for each row execute function refuse_change();
            create trigger digests_never_truncated before truncate on digests for each statement execute function refuse_change();
            alter table alerts enable always trigger alerts_never_deleted;
            alter table alerts enable always trigger alerts_never_truncated;
            alter table alert_steps enable always trigger alert_steps_never_deleted;
            alter table alert_steps enable always trigger alert_steps_written_once;
            alter table alert_steps enable always trigger alert_steps_never_truncated;
            alter table digests enable always trigger digests_written_once;
            alter table digests enable always trigger digests_never_truncated;
            """;

        private const string RowPolicies = """
            do $$
            declare
                child_table text;
            begin
                foreach child_table in array array['child_signs', 'child_statuses', 'alerts', 'alert_steps'] loop
                    execute format('alter table %I enable row level security', child_table);
                    execute format(
                        $policy$create policy seen on %I for select using (
                            programme_id = (select caseload_programme()) and (
                                (select caseload_reads()) = 'programme'
                                or (select caseload_reads()) = 'own' and child_id = any ((select caseload_reach())::uuid[])))$policy$,
                        child_table);
                    execute format(
                        $policy$create policy written on %I for all using (
                            programme_id = (select caseload_programme()) and (
                                (select caseload_writes()) = 'programme'
                                or (select caseload_writes()) = 'own' and child_id = any ((select caseload_reach())::uuid[])))$policy$,
                        child_table);
                end loop;
            end
            $$;

            alter table digests enable row level security;
            create policy seen on digests for select using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_reads()) = 'programme' or person_id = (select caseload_person())));
            create policy added on digests for insert with check (
                programme_id = (select caseload_programme()) and (select caseload_purpose()) = 'job');

            -- Whoever finishes a visit may have to announce what it found; only a job sends.
            alter table outgoing_messages enable row level security;
            create policy seen on outgoing_messages for select using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_may('run-jobs')) or person_id = (select caseload_person())));
            create policy added on outgoing_messages for insert with check (
                programme_id = (select caseload_programme()) and (select caseload_purpose()) in ('job', 'person'));
            create policy changed on outgoing_messages for update using (
                programme_id = (select caseload_programme()) and (select caseload_may('run-jobs')));
            create policy removed on outgoing_messages for delete using (
                programme_id = (select caseload_programme()) and (select caseload_purpose()) = 'job');

            alter table job_runs enable row level security;
            create policy seen on job_runs for select using (
                programme_id = (select caseload_programme()) and (select caseload_may('run-jobs')));
            create policy written on job_runs for all using (
                programme_id = (select caseload_programme()) and (select caseload_purpose()) = 'job');
            """;
    }
}
