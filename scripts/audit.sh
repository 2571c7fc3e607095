#!/usr/bin/env bash
# What Tarsus is made of, and what is known against it. `audit.sh parts` writes dist/tarsus-parts.cdx.json (CycloneDX);
# `audit.sh weaknesses` asks the registries' advisories, which needs a network. The tools live in a folder of their own.
set -euo pipefail
cd "$(dirname "$0")/.."
what=${1:-}
case "$what" in parts | weaknesses) ;; *) echo "usage: scripts/audit.sh parts|weaknesses" >&2; exit 2 ;; esac
tools=.venv-audit
want=$(sha256sum requirements-audit.lock | cut -d' ' -f1)
if [ "$(cat $tools/installed 2>/dev/null)" != "$want" ]; then
    echo "Installing from requirements-audit.lock …" >&2
    [ -x $tools/bin/python ] || python3 -m venv $tools
    $tools/bin/python -m pip install -q --disable-pip-version-check --require-hashes -r requirements-audit.lock
    echo "$want" > $tools/installed
fi
if [ "$what" = parts ]; then
    mkdir -p dist
    $tools/bin/cyclonedx-py requirements requirements.lock --pyproject pyproject.toml --mc-type application \
        --output-reproducible --validate --of JSON -o dist/tarsus-parts.cdx.json
    echo "wrote dist/tarsus-parts.cdx.json"
else
    # --disable-pip: the lock already says everything, so nothing is installed or resolved.
    $tools/bin/pip-audit --disable-pip --require-hashes -r requirements.lock -r requirements-dev.lock
fi
