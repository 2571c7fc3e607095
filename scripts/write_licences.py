"""Write docs/running/licences.md: every package of the lock files with its version and its licence.

    .venv/bin/python scripts/write_licences.py

What a package says of itself is read from what is installed; a test holds the page to the locks
(tests/habits/test_supply.py).
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "running" / "licences.md"
WRITTEN = "<!-- Written by scripts/write_licences.py from the locks; do not edit by hand. -->"
SHORT = {
    "MIT License": "MIT",
    "MIT No Attribution License (MIT-0)": "MIT-0",
    "BSD License": "BSD",
    "Apache Software License": "Apache-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "ISC License (ISCL)": "ISC",
}
LONGEST_SAID = 40


def locked(lock: Path) -> Iterator[Requirement]:
    """The packages of a lock, each with its version and where it is wanted at all."""
    for line in lock.read_text(encoding="utf-8").splitlines():
        if re.match(r"[A-Za-z0-9]", line):
            yield Requirement(line.rstrip("\\ "))


def licence(name: str) -> str:
    """What an installed package says of its licence: its expression, else its own words, else its sort."""
    told = metadata.metadata(name)
    said = told.get("License-Expression") or told.get("License") or ""
    if said and len(said) <= LONGEST_SAID and said != "UNKNOWN":
        return SHORT.get(said, said)
    sorts = [
        word.rsplit(" :: ", 1)[1]
        for word in told.get_all("Classifier") or ()
        if word.startswith("License ::")
    ]
    return " or ".join(SHORT.get(sort, sort) for sort in sorts) or said.splitlines()[0].strip()


def rows(lock: Path, besides: frozenset[str] = frozenset()) -> list[tuple[str, str, str]]:
    """Name, versions and licence of each package of a lock that is not among others.

    The page is the same whichever Python writes it: what one system alone needs is not looked at.
    """
    versions: dict[str, list[Requirement]] = {}
    for wanted in locked(lock):
        if wanted.name not in besides:
            versions.setdefault(wanted.name, []).append(wanted)
    return [
        (name, ", ".join(str(one.specifier).removeprefix("==") for one in all_of_it), _said(all_of_it))
        for name, all_of_it in versions.items()
    ]


def _said(wanted: list[Requirement]) -> str:
    marker = str(wanted[0].marker or "")
    if len(wanted) == 1 and marker and "implementation" not in marker:
        return f"not looked at: only where {marker}"
    return licence(wanted[0].name)


def scripts_rows() -> list[tuple[str, str, str]]:
    """The same of what checks our JavaScript. None of it is served."""
    told: dict[str, Any] = json.loads((ROOT / "package-lock.json").read_text(encoding="utf-8"))
    return [
        (path.removeprefix("node_modules/"), one["version"], one["license"])
        for path, one in told["packages"].items()
        if path
    ]


def page() -> str:
    """The whole page."""
    run = rows(ROOT / "requirements.lock")
    names = frozenset(name for name, _, _ in run)
    parts = (
        ("What Tarsus runs on", run),
        ("What it is tested with besides", rows(ROOT / "requirements-dev.lock", names)),
        ("What checks its JavaScript", scripts_rows()),
    )
    lines = ["# Licences", "", WRITTEN, ""]
    lines += [
        "Tarsus itself is under the [MIT licence](../../LICENSE). No font, picture or script of others is"
    ]
    lines += ["served; what stands in `src/tarsus/web/static` is its own.", ""]
    for title, found in parts:
        lines += [f"## {title}", "", "| package | version | licence, as it says itself |", "|---|---|---|"]
        lines += [f"| {name} | {version} | {said} |" for name, version, said in found]
        lines += [""]
    return "\n".join(lines)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}")
