#!/usr/bin/env bash
# Make .venv and install Tarsus from the lock. `setup.sh run` for what it runs on, `setup.sh test` for its tests too.
# Nothing is done again that was done for this very lock.
set -euo pipefail
cd "$(dirname "$0")/.."
what=${1:-run}
lock=requirements.lock
[ "$what" = test ] && lock=requirements-dev.lock

as_root() { [ "$(id -u)" = 0 ]; }
need() {  # need COMMAND DEBIAN-PACKAGES…: install them when root, otherwise say so and stop
    local command=$1; shift
    command -v "$command" >/dev/null 2>&1 && return 0
    if as_root && command -v apt-get >/dev/null 2>&1; then
        echo "Installing $* …" >&2
        apt-get update -qq >/dev/null && DEBIAN_FRONTEND=noninteractive \
            apt-get install -y -qq --no-install-recommends "$@" >/dev/null
    fi
    command -v "$command" >/dev/null 2>&1 || {
        echo "Tarsus needs '$command'. Install it with: apt-get install $*" >&2; exit 1; }
}

need python3 python3
python3 -c 'import sys; sys.exit(sys.version_info < (3, 11))' || {
    echo "Tarsus needs Python 3.11 or newer; this is $(python3 --version)." >&2; exit 1; }

if [ ! -x .venv/bin/python ]; then
    if ! python3 -c 'import ensurepip, venv' 2>/dev/null; then
        if as_root && command -v apt-get >/dev/null 2>&1; then
            apt-get update -qq >/dev/null
            DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends python3-venv >/dev/null
        else
            echo "Tarsus needs Python's venv module. Install it with: apt-get install python3-venv" >&2; exit 1
        fi
    fi
    python3 -m venv .venv
fi

want=$(cat "$lock" pyproject.toml | sha256sum | cut -d' ' -f1)
stamp=.venv/installed-$what
if [ "$(cat "$stamp" 2>/dev/null)" != "$want" ]; then
    echo "Installing from $lock …" >&2
    .venv/bin/python -m pip install -q --disable-pip-version-check --require-hashes -r "$lock"
    .venv/bin/python -m pip install -q --disable-pip-version-check --no-deps --no-build-isolation -e .
    echo "$want" > "$stamp"
fi

[ "$what" = test ] || exit 0
need node nodejs
need npm npm
need chromium chromium fonts-dejavu-core
need certutil libnss3-tools
need systemd-analyze systemd
if ! ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; then
    if as_root && command -v apt-get >/dev/null 2>&1; then
        echo "Installing postgresql …" >&2
        # The package's own cluster is not wanted: the tests make one of their own and remove it.
        mkdir -p /etc/postgresql-common
        echo 'create_main_cluster = false' > /etc/postgresql-common/createcluster.conf
        apt-get update -qq >/dev/null
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends postgresql >/dev/null
    else
        echo "The tests need PostgreSQL's server programs. Install them with: apt-get install postgresql" >&2; exit 1
    fi
fi
want=$(sha256sum package-lock.json | cut -d' ' -f1)
if [ "$(cat node_modules/.installed 2>/dev/null)" != "$want" ]; then
    npm ci --silent --no-audit --no-fund
    echo "$want" > node_modules/.installed
fi
