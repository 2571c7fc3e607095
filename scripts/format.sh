#!/usr/bin/env bash
# Put templates, scripts and style sheets into their format, or say which are not: `format.sh write [PART…]`,
# `format.sh check`. Files that scripts/unformatted.txt names are left out of the check until they were written; with
# parts, as in `format.sh write static tests/js`, only files are written whose path holds one of these words.
set -euo pipefail
cd "$(dirname "$0")/.."
late=scripts/unformatted.txt
of() { git ls-files -- "$@"; }  # of PATTERN…: what git knows by these endings
asked() {  # those of a list that are wanted now
    if [ "$what" = check ]; then grep -vxFf "$late"; elif [ ${#parts[@]} -gt 0 ]; then grep -F "${parts[@]}"; else cat; fi
}
what=${1:?write or check}
shift
parts=()
for part in "$@"; do parts+=(-e "$part"); done
[ -e "$late" ] || { late=$(mktemp); trap 'rm -f "$late"' EXIT; }
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
written=$(mktemp)
printf '%s\n' "${markup[@]}" "${web[@]}" > "$written"
grep -vxFf "$written" "$late" > "$late.left" || true
rm -f "$written"
if [ -s "$late.left" ]; then mv "$late.left" "$late"; else rm -f "$late" "$late.left"; fi
