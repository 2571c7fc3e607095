"""Hold the locks against known weaknesses without a network: a file of the open database OSV is brought.

    scripts/known_weaknesses.py all.zip requirements.lock

`all.zip` is OSV's file of Python packages (docs/running/supply.md says where it comes from). Exit status 1
where something is known of a version that is locked, 2 where a file is not what it should be.
"""

from __future__ import annotations

import json
import re
import sys
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from packaging.version import InvalidVersion, Version


def plain(name: str) -> str:
    """A package's name as registries compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def locked(lock: str) -> set[tuple[str, str]]:
    """Names and versions that a lock pins."""
    return {(plain(name), version) for name, version in re.findall(r"(?m)^([\w.-]+)==([^\s;\\]+)", lock)}


def touched(affected: Mapping[str, Any], version: str) -> bool:
    """Whether an entry's part names this version: in its list, or between two events of a range.

    Source: the OSV schema, `affected[].versions` and `affected[].ranges[]` of type ECOSYSTEM.
    """
    if version in affected.get("versions", ()):
        return True
    return any(
        _between(reach.get("events", ()), Version(version))
        for reach in affected.get("ranges", ())
        if reach.get("type") == "ECOSYSTEM"
    )


def _between(events: Any, version: Version) -> bool:
    inside = False
    steps = [(kind, "0" if said == "0" else said) for event in events for kind, said in event.items()]
    try:
        in_order = sorted(steps, key=lambda step: (Version(step[1]), step[0] == "last_affected"))
    except InvalidVersion:
        return True  # Nobody can say: a person looks.
    for kind, said in in_order:
        at = Version(said)
        if kind == "introduced" and version >= at:
            inside = True
        elif (kind == "fixed" and version >= at) or (kind == "last_affected" and version > at):
            inside = False
    return inside


def known(database: Path, wanted: set[tuple[str, str]]) -> Iterator[tuple[str, str, str, str]]:
    """Package, version, the weakness's name and what it is; withdrawn ones are left out."""
    names = {name for name, _ in wanted}
    with zipfile.ZipFile(database) as entries:
        for file in sorted(entries.namelist()):
            entry: dict[str, Any] = json.loads(entries.read(file))
            if "withdrawn" in entry:
                continue
            for affected in entry.get("affected", ()):
                package = affected.get("package", {})
                name = plain(package.get("name", ""))
                if package.get("ecosystem") != "PyPI" or name not in names:
                    continue
                said = entry.get("summary") or entry.get("details", "")[:80]
                for one, version in sorted(wanted):
                    if one == name and touched(affected, version):
                        yield name, version, entry["id"], " ".join(said.split())


def main(words: list[str]) -> int:
    """Say what is known of each lock."""
    if len(words) < 2:
        print(__doc__, file=sys.stderr)
        return 2
    try:
        wanted = set().union(*(locked(Path(lock).read_text("utf-8")) for lock in words[1:]))
        found = sorted(set(known(Path(words[0]), wanted)))
    except (OSError, zipfile.BadZipFile, UnicodeDecodeError, ValueError) as reason:
        print(f"known_weaknesses: {reason}; give OSV's all.zip of PyPI, then the locks", file=sys.stderr)
        return 2
    if not wanted:
        print("known_weaknesses: no package is pinned in these locks", file=sys.stderr)
        return 2
    for name, version, weakness, said in found:
        print(f"{name} {version}: {weakness} {said}")
    print(f"{len(found)} known weaknesses of {len(wanted)} locked packages.", file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
