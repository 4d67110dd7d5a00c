# shellcheck shell=bash
# Sourced by the scripts beside this file; they set -euo pipefail and root= before.
: "${root:?}"

say() {
  printf '%s\n' "$*" >&2
}

fail() {
  say "$*"
  exit 1
}

require_sdk() {
  command -v dotnet >/dev/null || fail "The .NET 10 SDK is missing. Install it (https://dotnet.microsoft.com/download) and run this again."
  (cd "$root" && dotnet --version >/dev/null) || fail "The .NET SDK that global.json asks for is missing: see the message above."
}

# Prints the folder with initdb and pg_ctl, the newest first; fails when there is none.
find_postgres() {
  local folder found=()
  local candidates=()

  if [[ -n "${CASELOAD_PG_BIN:-}" ]]; then
    candidates=("$CASELOAD_PG_BIN")
  else
    candidates=(/usr/lib/postgresql/*/bin /usr/pgsql-*/bin /usr/local/pgsql/bin /opt/homebrew/opt/postgresql@*/bin /usr/local/opt/postgresql@*/bin)
    if command -v pg_config >/dev/null; then candidates+=("$(pg_config --bindir)"); fi
    if command -v pg_ctl >/dev/null; then candidates+=("$(dirname "$(command -v pg_ctl)")"); fi
  fi

  for folder in "${candidates[@]}"; do
    if [[ -x "$folder/initdb" && -x "$folder/pg_ctl" ]]; then found+=("$folder"); fi
  done

  ((${#found[@]} > 0)) || return 1
  printf '%s\n' "${found[@]}" | sort -V | tail -n 1
}

as_root() {
  if ((EUID == 0)); then
    "$@"
  elif command -v sudo >/dev/null; then
    sudo "$@"
  else
    return 1
  fi
}

# install_packages PACKAGE...: with apt, as root or through sudo.
install_packages() {
  command -v apt-get >/dev/null || return 1
  say "Installing $* ..."
  as_root apt-get update -q >&2 || return 1
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends "$@" >&2
}

require_postgres() {
  local no_cluster=/etc/postgresql-common/createcluster.d/caseload.conf

  if find_postgres >/dev/null; then return; fi

  # Debian would otherwise create and start a server of its own, on port 5432.
  if command -v apt-get >/dev/null && as_root mkdir -p "$(dirname "$no_cluster")"; then
    echo "create_main_cluster = false" | as_root tee "$no_cluster" >/dev/null
    install_packages postgresql || true
    as_root rm -f "$no_cluster"
  fi

  find_postgres >/dev/null || fail "PostgreSQL is missing and could not be installed. Ways on, any one of which is enough:
  1. Install PostgreSQL 14 to 18 (Debian, Ubuntu: apt install postgresql), or set CASELOAD_PG_BIN to the folder with initdb.
  2. Set ConnectionStrings__Caseload (for deploy/test: CASELOAD_TEST_POSTGRES) to the connection string of a server you have.
  3. Run everything in containers: deploy/make-secrets && docker compose up"
}

# fingerprint PATH...: changes when a source file is changed, added, renamed or deleted.
fingerprint() {
  find "$@" \( -name bin -o -name obj \) -prune -o -type f -exec cksum {} + | sort | cksum
}

default_data_folder() {
  if [[ -n "${CASELOAD_DATA:-}" ]]; then
    printf '%s\n' "$CASELOAD_DATA"
  elif ((EUID == 0)); then
    printf '%s\n' /var/lib/caseload
  else
    printf '%s\n' "${XDG_DATA_HOME:-$HOME/.local/share}/caseload"
  fi
}
