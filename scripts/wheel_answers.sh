#!/usr/bin/env bash
# Build the wheel, install it into an empty environment, and serve the invented park from there: what pipx does.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
written=$(sed -n 's/^version = "\(.*\)"$/\1/p' pyproject.toml)
server=
stop() { [ -z "$server" ] || kill "$server" 2>/dev/null || true; wait 2>/dev/null || true; rm -rf "$work"; }
trap stop EXIT

.venv/bin/python -m pip wheel -q --disable-pip-version-check --no-deps --no-build-isolation -w "$work/dist" .
python3 -m venv "$work/env"
"$work/env/bin/python" -m pip install -q --disable-pip-version-check --require-hashes -r requirements.lock
"$work/env/bin/python" -m pip install -q --disable-pip-version-check --no-deps "$work"/dist/tarsus-*.whl
for part in share/man/man1/tarsus.1 share/bash-completion/completions/tarsus \
    share/zsh/site-functions/_tarsus share/fish/vendor_completions.d/tarsus.fish; do
    [ -s "$work/env/$part" ] || { echo "the wheel carries no $part"; exit 1; }
done

mkdir "$work/here" && cd "$work/here"   # nothing of the source is near
unset PYTHONPATH; for name in $(env | sed -n 's/^\(TARSUS_[A-Z_]*\)=.*/\1/p'); do unset "$name"; done
said=$("$work/env/bin/tarsus" --version)
[ "$said" = "tarsus $written" ] || { echo "the wheel says it is '$said', pyproject.toml says $written"; exit 1; }
echo "$said"
port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
"$work/env/bin/tarsus" demo --small --port "$port" > said 2>&1 &
server=$!
for _ in $(seq 180); do
    if python3 - "$port" <<'PY' 2>/dev/null
import sys, urllib.request
page = urllib.request.urlopen(f"http://127.0.0.1:{sys.argv[1]}/", timeout=2).read().decode()
sys.exit("Invented park" not in page)
PY
    then echo "the wheel serves the demo"; exit 0; fi
    kill -0 "$server" 2>/dev/null || break
    sleep 1
done
echo "the wheel did not serve the demo; it said:"; cat said; exit 1
