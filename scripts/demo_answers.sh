#!/usr/bin/env bash
# Start `make demo` in a home of its own, wait until it answers, ask for the sign-in page, stop it.
set -euo pipefail
cd "$(dirname "$0")/.."
home=$(mktemp -d)
port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
TARSUS_HOME=$home make demo PORT="$port" > "$home/said" 2>&1 &
demo=$!
stop() { pkill -P "$demo" 2>/dev/null || true; kill "$demo" 2>/dev/null || true; wait "$demo" 2>/dev/null || true; rm -rf "$home"; }
trap stop EXIT
for _ in $(seq 180); do
    if python3 - "$port" <<'PY' 2>/dev/null
import sys, urllib.request
page = urllib.request.urlopen(f"http://127.0.0.1:{sys.argv[1]}/", timeout=2).read().decode()
sys.exit("Tarsus" not in page)
PY
    then echo "the demo answers"; exit 0; fi
    kill -0 "$demo" 2>/dev/null || break
    sleep 1
done
echo "the demo did not answer; it said:"; cat "$home/said"; exit 1
