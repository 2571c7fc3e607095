#!/usr/bin/env bash
# Run a command against a PostgreSQL cluster that exists only for it: scripts/with_postgres.sh pytest -m postgresql
# The cluster lives in a temporary folder, listens on a socket there and nowhere else, and is gone afterwards.
set -euo pipefail
[ $# -gt 0 ] || { echo "usage: scripts/with_postgres.sh COMMAND…" >&2; exit 2; }
bin=$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -1 || true)
[ -n "$bin" ] || bin=$(dirname "$(command -v initdb)" 2>/dev/null || true)
[ -x "$bin/initdb" ] || {
    echo "PostgreSQL's server programs are missing. Install them with: apt-get install postgresql" >&2; exit 1; }

# In memory where there is room for it: in a container the shared memory may be 64 MB.
below=/tmp
free=$(df --output=avail -m /dev/shm 2>/dev/null | tail -1 || true)
[ "${free:-0}" -lt 2000 ] || [ ! -w /dev/shm ] || below=/dev/shm
folder=$(mktemp -d "$below/tarsus-postgres.XXXXXX")
# The server refuses to run as root: root starts it as somebody without rights.
as_owner=()
if [ "$(id -u)" = 0 ]; then
    owner=postgres; id "$owner" >/dev/null 2>&1 || owner=nobody
    chown "$owner" "$folder"
    as_owner=(runuser -u "$owner" --)
fi
stop() {
    "${as_owner[@]}" "$bin/pg_ctl" -D "$folder/cluster" -m immediate stop >/dev/null 2>&1 || true
    rm -rf "$folder"
}
trap stop EXIT
cd /  # the owner may not be allowed into the folder we stand in
"${as_owner[@]}" "$bin/initdb" -D "$folder/cluster" -U tarsus -A trust -E UTF8 --no-locale >"$folder/log" 2>&1 || {
    cat "$folder/log" >&2; exit 1; }
# Durability is not what is tested here; a temporary cluster need not wait for the disk.
"${as_owner[@]}" "$bin/pg_ctl" -D "$folder/cluster" -w -t 60 -l "$folder/cluster/server.log" \
    -o "-k '$folder' -c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off \
        -c wal_level=minimal -c max_wal_senders=0 -c max_wal_size=512MB -c jit=off" start >"$folder/log" 2>&1 || {
    cat "$folder/log" "$folder/cluster/server.log" >&2; exit 1; }
chmod 755 "$folder"
cd "$OLDPWD"
TARSUS_DATABASE="postgresql://tarsus@/postgres?host=$folder" "$@"
