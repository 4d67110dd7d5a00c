namespace Caseload.Data.Migrations
{
    /// <summary>What EF cannot say: the assignments that hold already, covers of single children in the reach, and whose rows a person sees.</summary>
    public partial class TeamDesk
    {
        private const string FirstWorkloadPolicy = """
            '{"visitsInFourWeeks":2,"visitMinutes":60,"documentationMinutes":20,"travelMinutes":20,"farTravelMinutes":45,"coordinationMinutes":20,"checkMinutes":5,"sameDayAlertMinutes":30,"actAlertMinutes":20,"advisoryAlertMinutes":10,"watchAlertMinutes":5,"dayMinutes":450,"directPercent":65}'::jsonb
            """;

        private const string FirstAssignments = """
            insert into assignments (programme_id, id, child_id, clinician_id, from_on, through_on, recorded_at, who, end_recorded_at)
            select programme_id, gen_random_uuid(), id, clinician_id, enrolled_on, closed_on, updated_at,
                'before assignments were kept', case when closed_on is not null then updated_at end
            from children where clinician_id is not null;
            """;

        private const string ReachWithChildCovers = """
            -- Own caseload, children covered today, children opened by a reason that still holds.
            create or replace function caseload_reach_of(p_programme uuid, p_person uuid, p_clinician uuid, p_at timestamptz) returns uuid[]
                language sql stable security definer set search_path = pg_catalog, public, pg_temp as $$
                select coalesce(array_agg(child.id), '{}') from children as child
                where child.programme_id = p_programme and (
                    child.clinician_id = p_clinician
                    or child.clinician_id in (
                        select cover.absent_clinician_id from covers as cover
                        join programmes as programme on programme.programme_id = cover.programme_id
                        where cover.programme_id = p_programme and cover.covering_clinician_id = p_clinician and cover.child_id is null
                        and (p_at at time zone programme.time_zone)::date between cover.from_on and cover.through_on)
                    or (child.id, child.clinician_id) in (
                        select cover.child_id, cover.absent_clinician_id from covers as cover
                        join programmes as programme on programme.programme_id = cover.programme_id
                        where cover.programme_id = p_programme and cover.covering_clinician_id = p_clinician
                        and (p_at at time zone programme.time_zone)::date between cover.from_on and cover.through_on)
                    or child.id in (
                        select reach.child_id from reasoned_reaches as reach
                        where reach.programme_id = p_programme and reach.person_id = p_person
                        and reach.from_at <= p_at and reach.until_at > p_at))
            $$;
            """;

        private const string ReachWithoutChildCovers = """
            -- Own caseload, children covered today, children opened by a reason that still holds.
            create or replace function caseload_reach_of(p_programme uuid, p_person uuid, p_clinician uuid, p_at timestamptz) returns uuid[]
                language sql stable security definer set search_path = pg_catalog, public, pg_temp as $$
                select coalesce(array_agg(child.id), '{}') from children as child
                where child.programme_id = p_programme and (
                    child.clinician_id = p_clinician
                    or child.clinician_id in (
                        select cover.absent_clinician_id from covers as cover
                        join programmes as programme on programme.programme_id = cover.programme_id
                        where cover.programme_id = p_programme and cover.covering_clinician_id = p_clinician
                        and (p_at at time zone programme.time_zone)::date between cover.from_on and cover.through_on)
                    or child.id in (
                        select reach.child_id from reasoned_reaches as reach
                        where reach.programme_id = p_programme and reach.person_id = p_person
                        and reach.from_at <= p_at and reach.until_at > p_at))
            $$;
            """;

        private const string ExplainWithChildCovers = """
            create or replace function explain_access() returns trigger
                language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
            begin
                if new.why is not null then
                    return new;
                end if;
                new.why := case
                    when caseload_purpose() = 'account' then 'account'
                    when caseload_purpose() <> 'person' then 'job'
                    when new.child_id is null then case caseload_reads()
                        when 'programme' then 'supervision' when 'own' then 'own-caseload' else 'administration' end
                    when exists (
                        select from children where programme_id = new.programme_id and id = new.child_id
                        and clinician_id = caseload_clinician()) then 'own-caseload'
                    when caseload_reads() = 'programme' then 'supervision'
                    when exists (
                        select from children as child join covers as cover
                        on cover.programme_id = child.programme_id and cover.absent_clinician_id = child.clinician_id
                        where child.programme_id = new.programme_id and child.id = new.child_id
                        and cover.covering_clinician_id = caseload_clinician()
                        and (cover.child_id is null or cover.child_id = child.id)
                        and (new.at at time zone (select time_zone from programmes where programme_id = new.programme_id))::date
                            between cover.from_on and cover.through_on) then 'cover'
                    else 'reach-by-reason' end;
                return new;
            end
            $$;
            """;

        private const string ExplainWithoutChildCovers = """
            create or replace function explain_access() returns trigger
                language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
            begin
                if new.why is not null then
                    return new;
                end if;
                new.why := case
                    when caseload_purpose() = 'account' then 'account'
                    when caseload_purpose() <> 'person' then 'job'
                    when new.child_id is null then case caseload_reads()
                        when 'programme' then 'supervision' when 'own' then 'own-caseload' else 'administration' end
                    when exists (
                        select from children where programme_id = new.programme_id and id = new.child_id
                        and clinician_id = caseload_clinician()) then 'own-caseload'
                    when caseload_reads() = 'programme' then 'supervision'
                    when exists (
                        select from children as child join covers as cover
                        on cover.programme_id = child.programme_id and cover.absent_clinician_id = child.clinician_id
                        where child.programme_id = new.programme_id and child.id = new.child_id
                        and cover.covering_clinician_id = caseload_clinician()
                        and (new.at at time zone (select time_zone from programmes where programme_id = new.programme_id))::date
                            between cover.from_on and cover.through_on) then 'cover'
                    else 'reach-by-reason' end;
                return new;
            end
            $$;
            """;

        private const string RowPolicies = """
            do $$
            declare
                child_table text;
            begin
                foreach child_table in array array['assignments', 'never_pairs', 'planned_visits'] loop
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

            -- Zones and the most children are the team lead's to set; who works here is the administrator's.
            create policy limited on clinicians for update using (
                programme_id = (select caseload_programme()) and (select caseload_may('assign-children')));

            -- A calendar program shows the secret and nothing else; until it is found, nobody is signed in.
            alter table calendar_feeds enable row level security;
            create policy seen on calendar_feeds for select using (
                programme_id = (select caseload_programme()) and person_id = (select caseload_person())
                or programme_id = (select caseload_programme()) and (select caseload_purpose()) = 'job'
                or (select caseload_purpose()) = 'find-person');
            create policy written on calendar_feeds for all using (
                programme_id = (select caseload_programme()) and (
                    person_id = (select caseload_person()) or (select caseload_purpose()) = 'job'));
            """;
    }
}
