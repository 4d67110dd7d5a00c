#!/usr/bin/env bash
set -euo pipefail

# Runs once, when the database image creates its cluster.
psql --set=ON_ERROR_STOP=1 --no-psqlrc --username="$POSTGRES_USER" --dbname="$POSTGRES_DB" \
  --set=password="$(cat /run/secrets/database_app_password)" <<'SQL'
CREATE ROLE caseload_app LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD :'password';
REVOKE ALL ON DATABASE caseload FROM PUBLIC;
GRANT CONNECT, TEMPORARY ON DATABASE caseload TO caseload_app;
REVOKE CREATE ON SCHEMA public FROM PUBLIC;
SQL
