#!/usr/bin/env bash
# Write both lock files anew: every package pinned by hash, and no registry's address in them.
set -euo pipefail
cd "$(dirname "$0")/.."
.venv/bin/pip install -q uv
compile() { .venv/bin/uv pip compile pyproject.toml --universal --python-version 3.11 --no-header --no-annotate \
    --generate-hashes --no-emit-index-url -q "$@"; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
compile --all-extras -o "$work/dev"
compile --extra server --extra build -c "$work/dev" -o "$work/run"
{ echo "# What Tarsus runs on, pinned by hash. Written by \`make lock\`, read by pip."; cat "$work/run"; } > requirements.lock
{ echo "# What Tarsus runs and is tested on, pinned by hash. Written by \`make lock\`, read by pip."; cat "$work/dev"; } \
    > requirements-dev.lock
