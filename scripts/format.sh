#!/usr/bin/env bash
# Put templates, scripts and style sheets into their format, or say which are not: `format.sh write`, `format.sh check`.
# Files that scripts/unformatted.txt names are left out of the check until `format.sh write` has taken them all.
set -euo pipefail
cd "$(dirname "$0")/.."
late=scripts/unformatted.txt
of() { git ls-files -- "$@"; }  # of PATTERN…: what git knows by these endings
asked() {  # those of a list that are not waiting
    if [ "$what" = check ] && [ -e "$late" ]; then grep -vxFf "$late"; else cat; fi
}
what=${1:?write or check}
mapfile -t markup < <(of 'src/*.html' 'src/*.js' 'tests/*.js' 'tests/*.mjs' | asked)
mapfile -t web < <(of 'src/*.js' 'src/*.css' 'tests/*.js' 'tests/*.mjs' 'scripts/*.mjs' | asked)
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
rm -f "$late"
