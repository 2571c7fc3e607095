"""What Tarsus is made of is listed, and can be held against known weaknesses without a network."""

from __future__ import annotations

import importlib.util
import json
import re
import zipfile
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
OPEN = re.compile(
    r"MIT(-0|-CMU)?|BSD[\w -]*|0BSD|Apache[- ]2\.0|PSF-2\.0|MPL-2\.0|LGPL-3\.0-only|Zlib|CC0-1\.0"
)
"""Licences that somebody has looked at: all open, none that would bind a park that runs Tarsus."""


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, ROOT / "scripts" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_of_licences_is_what_the_locks_say_now() -> None:
    writer = script("write_licences")
    assert writer.PAGE.read_text(encoding="utf-8") == writer.page(), (
        "run .venv/bin/python scripts/write_licences.py and commit what it writes"
    )


def test_every_licence_is_an_open_one_that_somebody_looked_at() -> None:
    writer = script("write_licences")
    every = [*writer.rows(ROOT / "requirements-dev.lock"), *writer.scripts_rows()]
    assert len(every) > 90
    unknown = [
        (name, said)
        for name, _, said in every
        if not said.startswith("not looked at: only where ")
        and not all(OPEN.fullmatch(part) for part in re.split(r" (?:AND|OR|or) ", said))
    ]
    assert unknown == []


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-dev.lock", "requirements-audit.lock"])
def test_every_package_of_a_lock_carries_its_digests(lock: str) -> None:
    text = (ROOT / lock).read_text(encoding="utf-8")
    blocks = [block for block in re.split(r"\n(?=[A-Za-z0-9])", text) if not block.startswith("#")]
    assert len(blocks) > 30
    assert [block.splitlines()[0] for block in blocks if "--hash=sha256:" not in block] == []
    assert "://" not in text, "no registry's address"


# Made up for this test, in the form of the OSV schema 1.6 (ossf.github.io/osv-schema), sections
# affected[].ranges[].events and affected[].versions.
ENTRIES: tuple[dict[str, Any], ...] = (
    {"id": "T-RANGE", "summary": "from 2 to before 2.4", "affected": [
        {"package": {"ecosystem": "PyPI", "name": "Some.Heron"},
         "ranges": [{"type": "ECOSYSTEM", "events": [{"introduced": "2"}, {"fixed": "2.4"}]}]}]},
    {"id": "T-LAST", "summary": "up to 1.10 and with it", "affected": [
        {"package": {"ecosystem": "PyPI", "name": "some-heron"},
         "ranges": [{"type": "ECOSYSTEM", "events": [{"introduced": "0"}, {"last_affected": "1.10"}]}]}]},
    {"id": "T-LIST", "summary": "one version", "affected": [
        {"package": {"ecosystem": "PyPI", "name": "some_heron"}, "versions": ["3.0"]}]},
    {"id": "T-GONE", "withdrawn": "2026-01-01T00:00:00Z", "affected": [
        {"package": {"ecosystem": "PyPI", "name": "some-heron"}, "versions": ["3.0"]}]},
    {"id": "T-OTHER", "affected": [
        {"package": {"ecosystem": "npm", "name": "some-heron"}, "versions": ["3.0"]}]},
)  # fmt: skip


@pytest.mark.parametrize(
    ("version", "weaknesses"),
    [
        ("1.9", ["T-LAST"]),
        ("1.10", ["T-LAST"]),
        ("1.11", []),
        ("2", ["T-RANGE"]),
        ("2.3.9", ["T-RANGE"]),
        ("2.4", []),
        ("2.10", []),
        ("3.0", ["T-LIST"]),
    ],
)
def test_a_locked_version_is_held_against_a_file_of_known_weaknesses(
    version: str, weaknesses: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with zipfile.ZipFile(tmp_path / "all.zip", "w") as database:
        for entry in ENTRIES:
            database.writestr(f"{entry['id']}.json", json.dumps(entry))
    lock = tmp_path / "some.lock"
    lock.write_text(f"some-heron=={version} \\\n    --hash=sha256:00\nother==2.0\n", encoding="utf-8")
    checks = script("known_weaknesses")
    assert checks.main([str(tmp_path / "all.zip"), str(lock)]) == (1 if weaknesses else 0)
    said = capsys.readouterr()
    assert [line.split()[2] for line in said.out.splitlines()] == weaknesses
    assert said.err == f"{len(weaknesses)} known weaknesses of 2 locked packages.\n"


def test_a_file_that_is_no_database_of_weaknesses_says_so(tmp_path: Path) -> None:
    (tmp_path / "all.zip").write_text("no zip")
    checks = script("known_weaknesses")
    assert checks.main([str(tmp_path / "all.zip"), str(ROOT / "requirements.lock")]) == 2
    assert checks.main([]) == 2
