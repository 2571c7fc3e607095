#!/usr/bin/env bash
# Put templates, scripts and style sheets into their format, or say which are not: `format.sh write [PART…]`,
# `format.sh check [PART…]`. With parts, as in `format.sh write static tests/js`, only files are taken whose path holds
# one of these words.
set -euo pipefail
cd "$(dirname "$0")/.."
what=${1:?write or check}
shift
parts=()
for part in "$@"; do parts+=(-e "$part"); done
of() {  # of PATTERN…: what git knows by these endings and is wanted now
    if [ ${#parts[@]} -gt 0 ]; then git ls-files -- "$@" | grep -F "${parts[@]}"; else git ls-files -- "$@"; fi
}
mapfile -t markup < <(of 'src/*.html' 'src/*.js' 'tests/*.js' 'tests/*.mjs')
mapfile -t web < <(of 'src/*.js' 'src/*.css' 'tests/*.js' 'tests/*.mjs' 'scripts/*.mjs')
if [ "$what" = check ]; then
    .venv/bin/python scripts/break_markup.py --check "${markup[@]}"
    node scripts/format_web.mjs --check "${web[@]}"
    exit 0
fi
# What the one breaks the other may indent: in practice all stands after the second turn.
for _ in 1 2 3 4; do
    .venv/bin/python scripts/break_markup.py "${markup[@]}"
    node scripts/format_web.mjs "${web[@]}"
done
