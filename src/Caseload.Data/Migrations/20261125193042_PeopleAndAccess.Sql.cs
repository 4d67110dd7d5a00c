namespace Caseload.Data.Migrations
{
    /// <summary>What EF cannot say: the access record's seals, whose rows a person sees, and how a record is destroyed.</summary>
    public partial class PeopleAndAccess
    {
        private const string FirstAccessPolicy = """
            '{"idleMinutes":15,"signInHours":12,"administratorsNeedSecondFactor":true,"teamLeadsNeedSecondFactor":true,"cliniciansNeedSecondFactor":true,"observersNeedSecondFactor":true,"reasonHours":8,"invitationDays":7,"accessRecordYears":6,"childRecordYears":6}'::jsonb
            """;

        private const string RenameActivity = """
            alter table activity_entries rename to access_entries;
            alter table access_entries rename constraint pk_activity_entries to pk_access_entries;
            alter table access_entries rename constraint ck_activity_entries_what to ck_access_entries_what;
            alter table access_entries rename constraint fk_activity_entries_programmes_programme_id to fk_access_entries_programmes_programme_id;
            alter table access_entries drop constraint fk_activity_entries_clinicians_programme_id_clinician_id;
            alter index ix_activity_entries_child rename to ix_access_entries_child;
            alter index ux_activity_entries_attempt rename to ux_access_entries_attempt;
            alter table access_entries
                drop column clinician_id,
                add column person_id uuid,
                add column sign_in_id uuid,
                add column why varchar(40),
                add column address varchar(80),
                add column number bigint,
                add column previous_hash bytea,
                add column hash bytea;
            """;

        /// <summary>What the connection was told, read once per statement when it is asked for inside a scalar subquery.</summary>
        private const string ScopeFunctions = """
            create function caseload_programme() returns uuid language sql stable as $$
                select nullif(current_setting('caseload.programme', true), '')::uuid
            $$;
            create function caseload_purpose() returns text language sql stable as $$
                select coalesce(current_setting('caseload.purpose', true), '')
            $$;
            create function caseload_person() returns uuid language sql stable as $$
                select nullif(current_setting('caseload.person', true), '')::uuid
            $$;
            create function caseload_clinician() returns uuid language sql stable as $$
                select nullif(current_setting('caseload.clinician', true), '')::uuid
            $$;
            create function caseload_reads() returns text language sql stable as $$
                select coalesce(current_setting('caseload.reads', true), '')
            $$;
            create function caseload_writes() returns text language sql stable as $$
                select coalesce(current_setting('caseload.writes', true), '')
            $$;
            create function caseload_at() returns timestamptz language sql stable as $$
                select nullif(current_setting('caseload.at', true), '')::timestamptz
            $$;
            create function caseload_may(permission text) returns boolean language sql stable as $$
                select caseload_purpose() = 'job'
                    or permission = any (string_to_array(coalesce(current_setting('caseload.permissions', true), ''), ','))
            $$;

            -- Own caseload, children covered today, children opened by a reason that still holds.
            create function caseload_reach_of(p_programme uuid, p_person uuid, p_clinician uuid, p_at timestamptz) returns uuid[]
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
            create function caseload_reach() returns uuid[] language sql stable as $$
                select case when caseload_purpose() = 'person'
                    then caseload_reach_of(caseload_programme(), caseload_person(), caseload_clinician(), caseload_at()) else '{}' end
            $$;

            -- A person's rights under a sign-in that still holds; no row when it does not.
            create function caseload_rights(p_person uuid, p_sign_in uuid, p_at timestamptz)
                returns table (
                    programme_id uuid, name varchar, roles text[], clinician_id uuid, address varchar, time_zone varchar, reach uuid[])
                language sql stable security definer set search_path = pg_catalog, public, pg_temp as $$
                select person.programme_id, person.name, person.roles, person.clinician_id, sign_in.address,
                    programme.time_zone, caseload_reach_of(person.programme_id, person.id, person.clinician_id, p_at)
                from people as person
                join sign_ins as sign_in on sign_in.programme_id = person.programme_id and sign_in.person_id = person.id
                join programmes as programme on programme.programme_id = person.programme_id
                where person.id = p_person and sign_in.id = p_sign_in
                and person.disabled_at is null and sign_in.ended_at is null and sign_in.expires_at > p_at
                and sign_in.last_seen_at > p_at - make_interval(mins => (programme.access_policy ->> 'idleMinutes')::int)
            $$;

            -- The child with a code, for a person about to state a reason; says nothing else about the child.
            create function caseload_child_of_code(p_code text) returns uuid
                language sql stable security definer set search_path = pg_catalog, public, pg_temp as $$
                select child.id from children as child
                where child.programme_id = caseload_programme() and child.code = p_code and caseload_may('reach-by-reason')
            $$;
            """;

        private const string RecordFunctions = """
            create function access_piece(value text) returns text language sql immutable as $$
                select coalesce(octet_length(value) || ':' || value, '-')
            $$;
            create function access_entry_text(entry access_entries) returns text language sql stable as $$
                select concat_ws('|',
                    access_piece(entry.number::text), access_piece(encode(entry.previous_hash, 'hex')),
                    access_piece(entry.programme_id::text), access_piece(entry.id::text),
                    access_piece((extract(epoch from entry.at) * 1000000)::bigint::text),
                    access_piece(entry.who), access_piece(entry.person_id::text), access_piece(entry.sign_in_id::text),
                    access_piece(entry.child_id::text), access_piece(entry.what), access_piece(entry.why),
                    access_piece(entry.address), access_piece(entry.detail::text), access_piece(entry.attempt_id::text))
            $$;

            create function explain_access() returns trigger
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
            create trigger access_entries_explained before insert on access_entries for each row execute function explain_access();

            -- At commit, so that the head is the last lock a transaction takes and numbers follow the order of commits.
            create function seal_access_entry() returns trigger
                language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
            declare
                head access_chain_heads;
                entry access_entries;
            begin
                insert into access_chain_heads (programme_id, first_number, first_previous_hash, last_number, last_hash)
                    values (new.programme_id, 1, '', 0, '') on conflict do nothing;
                select * into head from access_chain_heads where programme_id = new.programme_id for update;
                select * into entry from access_entries where programme_id = new.programme_id and id = new.id;
                entry.number := head.last_number + 1;
                entry.previous_hash := head.last_hash;
                entry.hash := sha256(convert_to(access_entry_text(entry), 'UTF8'));
                update access_entries set number = entry.number, previous_hash = entry.previous_hash, hash = entry.hash
                    where programme_id = entry.programme_id and id = entry.id;
                update access_chain_heads set last_number = entry.number, last_hash = entry.hash
                    where programme_id = entry.programme_id;
                return null;
            end
            $$;

            do $$
            declare
                entry access_entries;
                head access_chain_heads;
            begin
                for entry in select * from access_entries order by programme_id, at, id loop
                    insert into access_chain_heads (programme_id, first_number, first_previous_hash, last_number, last_hash)
                        values (entry.programme_id, 1, '', 0, '') on conflict do nothing;
                    select * into head from access_chain_heads where programme_id = entry.programme_id;
                    entry.number := head.last_number + 1;
                    entry.previous_hash := head.last_hash;
                    entry.why := 'job';
                    entry.hash := sha256(convert_to(access_entry_text(entry), 'UTF8'));
                    update access_entries
                        set number = entry.number, previous_hash = entry.previous_hash, why = entry.why, hash = entry.hash
                        where programme_id = entry.programme_id and id = entry.id;
                    update access_chain_heads set last_number = entry.number, last_hash = entry.hash
                        where programme_id = entry.programme_id;
                end loop;
            end
            $$;

            create constraint trigger access_entries_sealed after insert on access_entries deferrable initially deferred
                for each row execute function seal_access_entry();

            -- An entry changes once, when it is sealed; it goes only with the oldest end of the record, or never.
            create function refuse_access_change() returns trigger language plpgsql as $$
            begin
                if tg_op = 'UPDATE' and old.number is null and new.number is not null
                    and (old.programme_id, old.id, old.at, old.who, old.person_id, old.sign_in_id, old.child_id, old.what, old.why,
                        old.address, old.detail, old.attempt_id)
                    is not distinct from (new.programme_id, new.id, new.at, new.who, new.person_id, new.sign_in_id, new.child_id,
                        new.what, new.why, new.address, new.detail, new.attempt_id) then
                    return new;
                end if;
                if tg_op = 'DELETE' and current_setting('caseload.removing', true) = 'oldest-entries' then
                    return old;
                end if;
                raise exception 'The access record is written once; % is refused.', tg_op using errcode = 'restrict_violation';
            end
            $$;
            create trigger access_entries_written_once before update or delete on access_entries
                for each row execute function refuse_access_change();
            create trigger access_entries_never_truncated before truncate on access_entries
                for each statement execute function refuse_change();
            alter table access_entries enable always trigger access_entries_written_once;
            alter table access_entries enable always trigger access_entries_never_truncated;
            alter table access_entries enable always trigger access_entries_sealed;

            -- Removes the oldest entries whose time to be kept is over, and notes where the record now begins.
            create function caseload_trim_access_record() returns integer
                language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
            declare
                head access_chain_heads;
                oldest access_entries;
                kept_from timestamptz;
                removed integer;
            begin
                if not caseload_may('destroy-records') then
                    raise exception 'Not allowed.' using errcode = 'insufficient_privilege';
                end if;
                select caseload_at() - make_interval(years => (access_policy ->> 'accessRecordYears')::int) into kept_from
                    from programmes where programme_id = caseload_programme();
                select * into head from access_chain_heads where programme_id = caseload_programme() for update;
                select * into oldest from access_entries
                    where programme_id = caseload_programme() and (at >= kept_from or number = head.last_number)
                    order by number limit 1;
                perform set_config('caseload.removing', 'oldest-entries', true);
                delete from access_entries where programme_id = caseload_programme() and number < oldest.number;
                get diagnostics removed = row_count;
                perform set_config('caseload.removing', '', true);
                if removed > 0 then
                    update access_chain_heads set first_number = oldest.number, first_previous_hash = oldest.previous_hash
                        where programme_id = caseload_programme();
                end if;
                return removed;
            end
            $$;

            create or replace function refuse_change() returns trigger language plpgsql as $$
            begin
                if tg_table_name = 'findings' and tg_op = 'DELETE' then
                    if current_setting('caseload.removing', true) = 'child ' || old.child_id then
                        return old;
                    end if;
                end if;
                raise exception 'Rows of % are written once; % is refused. Add a new row instead.', tg_table_name, tg_op
                    using errcode = 'restrict_violation';
            end
            $$;

            create trigger child_tombstones_written_once before update or delete on child_tombstones
                for each row execute function refuse_change();
            create trigger child_tombstones_never_truncated before truncate on child_tombstones
                for each statement execute function refuse_change();
            alter table child_tombstones enable always trigger child_tombstones_written_once;
            alter table child_tombstones enable always trigger child_tombstones_never_truncated;

            -- Destroys the record of a child whose case is closed; leaves a tombstone. The application cannot delete these rows itself.
            create function caseload_destroy_child(p_child uuid, p_reason text) returns void
                language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
            declare
                doomed children;
                visit_count integer;
                finding_count integer;
            begin
                if not caseload_may('destroy-records') or caseload_writes() <> 'programme' then
                    raise exception 'Not allowed.' using errcode = 'insufficient_privilege';
                end if;
                select * into doomed from children where programme_id = caseload_programme() and id = p_child for update;
                if doomed.closed_on is null then
                    raise exception 'Only the record of a closed case can be destroyed.' using errcode = 'restrict_violation';
                end if;
                select count(*) into visit_count from visits where programme_id = doomed.programme_id and child_id = doomed.id;
                select count(*) into finding_count from findings where programme_id = doomed.programme_id and child_id = doomed.id;
                insert into child_tombstones (programme_id, child_id, code, closed_on, visit_count, finding_count,
                        destroyed_at, destroyed_by_id, reason)
                    values (doomed.programme_id, doomed.id, doomed.code, doomed.closed_on, visit_count, finding_count,
                        caseload_at(), caseload_person(), p_reason);
                perform set_config('caseload.removing', 'child ' || doomed.id, true);
                loop
                    delete from findings as finding where programme_id = doomed.programme_id and child_id = doomed.id
                        and not exists (select from findings as other where other.programme_id = finding.programme_id
                            and other.child_id = finding.child_id and other.corrects_id = finding.id);
                    exit when not found;
                end loop;
                perform set_config('caseload.removing', '', true);
                delete from item_statuses where programme_id = doomed.programme_id and child_id = doomed.id;
                delete from visits where programme_id = doomed.programme_id and child_id = doomed.id;
                delete from children where programme_id = doomed.programme_id and id = doomed.id;
            end
            $$;
            """;

        /// <summary>Row policies: without a scope no row is seen, whatever the query. The owner, who migrates and never serves, is not bound.</summary>
        private const string RowPolicies = """
            alter table programmes enable row level security;
            create policy seen on programmes for select using (
                programme_id = (select caseload_programme()) or (select caseload_purpose()) in ('find-programmes', 'find-person'));
            create policy added on programmes for insert with check (
                programme_id = (select caseload_programme()) and (select caseload_purpose()) = 'job');
            -- USING decides as well who may lock the row, which everybody does who rewrites statuses.
            create policy changed on programmes for update using (programme_id = (select caseload_programme()))
                with check (programme_id = (select caseload_programme()) and (
                    (select caseload_may('change-settings')) or (select caseload_may('change-review-policy'))
                    or (select caseload_may('change-reference'))));

            alter table reference_set_versions enable row level security;
            create policy seen on reference_set_versions for select using (programme_id = (select caseload_programme()));
            create policy added on reference_set_versions for insert with check (
                programme_id = (select caseload_programme()) and (select caseload_may('change-reference')));

            alter table clinicians enable row level security;
            create policy seen on clinicians for select using (programme_id = (select caseload_programme()));
            create policy written on clinicians for all using (
                programme_id = (select caseload_programme()) and (select caseload_may('manage-people')));

            alter table child_code_counters enable row level security;
            create policy seen on child_code_counters for select using (programme_id = (select caseload_programme()));
            create policy written on child_code_counters for all using (
                programme_id = (select caseload_programme()) and (select caseload_writes()) in ('own', 'programme'));

            alter table children enable row level security;
            create policy seen on children for select using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_reads()) = 'programme'
                    or (select caseload_reads()) = 'own' and (
                        clinician_id = (select caseload_clinician()) or id = any ((select caseload_reach())::uuid[]))));
            create policy added on children for insert with check (
                programme_id = (select caseload_programme()) and (
                    (select caseload_writes()) = 'programme'
                    or (select caseload_writes()) = 'own' and clinician_id = (select caseload_clinician())));
            create policy changed on children for update using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_writes()) = 'programme'
                    or (select caseload_writes()) = 'own' and id = any ((select caseload_reach())::uuid[])));

            do $$
            declare
                child_table text;
            begin
                foreach child_table in array
                    array['child_exclusions', 'child_concerns', 'visits', 'item_statuses', 'findings'] loop
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

            -- A draft hangs on a visit; the subquery is under the visits' own policies.
            alter table visit_drafts enable row level security;
            create policy seen on visit_drafts for select using (
                programme_id = (select caseload_programme())
                and exists (select from visits where visits.programme_id = visit_drafts.programme_id and visits.id = visit_id));
            create policy written on visit_drafts for all using (
                programme_id = (select caseload_programme()) and (select caseload_writes()) in ('own', 'programme')
                and exists (select from visits where visits.programme_id = visit_drafts.programme_id and visits.id = visit_id
                    and ((select caseload_writes()) = 'programme' or visits.child_id = any ((select caseload_reach())::uuid[]))));

            alter table child_tombstones enable row level security;
            create policy seen on child_tombstones for select using (
                programme_id = (select caseload_programme()) and (select caseload_reads()) = 'programme');

            alter table people enable row level security;
            create policy seen on people for select using (
                programme_id = (select caseload_programme()) or (select caseload_purpose()) = 'find-person');
            create policy written on people for all using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_may('manage-people'))
                    or (select caseload_purpose()) in ('account', 'person') and id = (select caseload_person())));

            -- Whoever may write a child's record may not therefore give the child away.
            create function refuse_reassignment() returns trigger language plpgsql as $$
            begin
                if caseload_purpose() <> '' and not caseload_may('assign-children')
                    and old.clinician_id is distinct from new.clinician_id then
                    raise exception 'Children are assigned by a team lead.' using errcode = 'insufficient_privilege';
                end if;
                return new;
            end
            $$;
            create trigger children_reassigned before update on children for each row execute function refuse_reassignment();

            -- A person may change the own account, and not what it is allowed.
            create function refuse_own_promotion() returns trigger language plpgsql as $$
            begin
                if caseload_purpose() <> '' and not caseload_may('manage-people')
                    and (old.roles, old.clinician_id, old.disabled_at) is distinct from (new.roles, new.clinician_id, new.disabled_at) then
                    raise exception 'Roles are given by an administrator.' using errcode = 'insufficient_privilege';
                end if;
                return new;
            end
            $$;
            create trigger people_promoted before update on people for each row execute function refuse_own_promotion();

            do $$
            declare
                person_table text;
            begin
                foreach person_table in array
                    array['person_passkeys', 'person_logins', 'recovery_codes', 'sign_ins', 'invitations'] loop
                    execute format('alter table %I enable row level security', person_table);
                    execute format(
                        $policy$create policy seen on %I for select using (
                            programme_id = (select caseload_programme()) and (
                                (select caseload_may('manage-people')) or person_id = (select caseload_person()))
                            or (select caseload_purpose()) = 'find-person')$policy$,
                        person_table);
                    execute format(
                        $policy$create policy written on %I for all using (
                            programme_id = (select caseload_programme()) and (
                                (select caseload_may('manage-people')) or person_id = (select caseload_person())))$policy$,
                        person_table);
                end loop;
            end
            $$;

            alter table covers enable row level security;
            create policy seen on covers for select using (programme_id = (select caseload_programme()));
            create policy written on covers for all using (
                programme_id = (select caseload_programme()) and (select caseload_may('arrange-cover')));

            alter table reasoned_reaches enable row level security;
            create policy seen on reasoned_reaches for select using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_reads()) = 'programme' or person_id = (select caseload_person())));
            create policy added on reasoned_reaches for insert with check (
                programme_id = (select caseload_programme()) and person_id = (select caseload_person())
                and (select caseload_may('reach-by-reason')));
            -- Who searches the record looks them over, an observer as well, who writes nothing else.
            create policy changed on reasoned_reaches for update using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_may('search-access-record')) or person_id = (select caseload_person())));

            alter table access_entries enable row level security;
            create policy seen on access_entries for select using (
                programme_id = (select caseload_programme()) and (
                    (select caseload_may('search-access-record')) or (select caseload_may('verify-access-record'))
                    or person_id = (select caseload_person())
                    or (select caseload_may('see-who-looked')) and (
                        child_id = any ((select caseload_reach())::uuid[])
                        -- Lists name their children in the detail.
                        or detail -> 'children' ?| (select caseload_reach()::text[]))));
            create policy added on access_entries for insert with check (programme_id = (select caseload_programme()));

            alter table access_chain_heads enable row level security;
            create policy seen on access_chain_heads for select using (programme_id = (select caseload_programme()));
            """;

        private const string TakeBack = """
            do $$
            declare
                policy record;
            begin
                for policy in select tablename, policyname from pg_policies where schemaname = 'public' loop
                    execute format('drop policy %I on %I', policy.policyname, policy.tablename);
                    execute format('alter table %I disable row level security', policy.tablename);
                end loop;
            end
            $$;
            drop trigger access_entries_explained on access_entries;
            drop trigger access_entries_sealed on access_entries;
            drop trigger access_entries_written_once on access_entries;
            drop trigger access_entries_never_truncated on access_entries;
            drop trigger children_reassigned on children;
            drop function refuse_reassignment();
            drop trigger people_promoted on people;
            drop function refuse_own_promotion();
            drop function caseload_destroy_child(uuid, text);
            drop function caseload_trim_access_record();
            drop function explain_access();
            drop function seal_access_entry();
            drop function refuse_access_change();
            drop function access_entry_text(access_entries);
            drop function access_piece(text);
            drop function caseload_child_of_code(text);
            drop function caseload_rights(uuid, uuid, timestamptz);
            drop function caseload_reach();
            drop function caseload_reach_of(uuid, uuid, uuid, timestamptz);
            drop function caseload_may(text);
            drop function caseload_at();
            drop function caseload_writes();
            drop function caseload_reads();
            drop function caseload_clinician();
            drop function caseload_person();
            drop function caseload_purpose();
            drop function caseload_programme();
            create or replace function refuse_change() returns trigger language plpgsql as $$
            begin
                raise exception 'Rows of % are written once; % is refused. Add a new row instead.', tg_table_name, tg_op
                    using errcode = 'restrict_violation';
            end
            $$;
            drop index ix_access_entries_person;
            drop index ux_access_entries_number;
            alter table access_entries
                drop column person_id,
                drop column sign_in_id,
                drop column why,
                drop column address,
                drop column number,
                drop column previous_hash,
                drop column hash,
                add column clinician_id uuid;
            alter table access_entries rename to activity_entries;
            alter table activity_entries rename constraint pk_access_entries to pk_activity_entries;
            alter table activity_entries rename constraint ck_access_entries_what to ck_activity_entries_what;
            alter table activity_entries rename constraint fk_access_entries_programmes_programme_id to fk_activity_entries_programmes_programme_id;
            alter table activity_entries add constraint fk_activity_entries_clinicians_programme_id_clinician_id
                foreign key (programme_id, clinician_id) references clinicians (programme_id, id) on delete restrict;
            alter index ix_access_entries_child rename to ix_activity_entries_child;
            alter index ux_access_entries_attempt rename to ux_activity_entries_attempt;
            """;
    }
}
