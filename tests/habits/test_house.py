"""The habits of the house that no linter knows: sizes, words, docstrings, clean locks."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "tarsus"
LONGEST_FILE = 400
LONGEST_FUNCTION = 60
DOCUMENTED = ("core", "paper", "tables", "actions", "queries")
WORDS_NOT_USED = ("utils", "helpers", "common", "manager", "service", "processor", "handle")
TEXT = {
    ".py",
    ".js",
    ".mjs",
    ".css",
    ".html",
    ".md",
    ".toml",
    ".json",
    ".sh",
    ".typ",
    ".lock",
    ".txt",
    ".yml",
}


def tracked() -> list[Path]:
    """Every text file that git knows, as it stands in the tree."""
    told = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True
    ).stdout.decode()
    paths = [ROOT / name for name in told.split("\0") if name]
    return [path for path in paths if path.suffix in TEXT and path.is_file()]


def sources(*endings: str) -> list[Path]:
    """Our own source files: no migrations, nothing vendored."""
    return [
        path
        for path in sorted(SOURCE.rglob("*"))
        if path.suffix in endings and "migrations" not in path.parts and "vendor" not in path.parts
    ]


def functions(path: Path) -> Iterator[tuple[ast.FunctionDef | ast.AsyncFunctionDef, bool]]:
    """Each function of a file with whether it is public: module level or method, no underscore."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in tree.body:
        members = node.body if isinstance(node, ast.ClassDef) else [node]
        hidden = isinstance(node, ast.ClassDef) and node.name.startswith("_")
        for member in members:
            if isinstance(member, ast.FunctionDef | ast.AsyncFunctionDef):
                yield member, not member.name.startswith("_") and not hidden


def where(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_no_file_has_grown_past_one_idea() -> None:
    long = {
        where(p): n
        for p in sources(".py", ".js")
        if (n := len(p.read_text("utf-8").splitlines())) > LONGEST_FILE
    }
    assert not long, f"split these, each file one idea (at most {LONGEST_FILE} lines): {long}"


def test_no_function_has_grown_past_a_screen() -> None:
    long = [
        f"{where(path)}:{node.lineno} {node.name} ({node.end_lineno - node.lineno + 1} lines)"
        for path in sources(".py")
        for node, _ in functions(path)
        if node.end_lineno and node.end_lineno - node.lineno + 1 - docstring_lines(node) > LONGEST_FUNCTION
    ]
    assert not long, long


def docstring_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    first = node.body[0]
    if ast.get_docstring(node) is None or first.end_lineno is None:
        return 0
    return first.end_lineno - first.lineno + 1


@pytest.mark.parametrize("layer", DOCUMENTED)
def test_every_public_function_says_what_the_caller_gets(layer: str) -> None:
    silent = [
        f"{where(path)}:{node.lineno} {node.name}"
        for path in sources(".py")
        if path.relative_to(SOURCE).parts[0] == layer
        for node, public in functions(path)
        if public and ast.get_docstring(node) is None
    ]
    assert not silent, silent


def test_every_module_says_what_it_is() -> None:
    silent = [
        where(path)
        for path in sources(".py")
        if path.read_text("utf-8").strip() and ast.get_docstring(ast.parse(path.read_text("utf-8"))) is None
    ]
    assert not silent, silent


def test_names_are_words_of_the_trade() -> None:
    found = [
        f"{where(path)}: {word}"
        for path in sources(".py", ".js")
        for word in WORDS_NOT_USED
        if word in re.split(r"[_\-.]", path.stem)
    ]
    for path in sources(".py"):
        found += [
            f"{where(path)}:{node.lineno} {node.name}"
            for node, _ in functions(path)
            # Django names the entry of its own commands and hooks; those are not ours to choose.
            if set(node.name.split("_")) & set(WORDS_NOT_USED)
        ]
    assert not found, found


def test_no_path_of_a_machine_is_committed() -> None:
    place = str(ROOT.parent) + "/"
    pattern = re.compile(r"(?<![\w.~/])/(?:root|home/[a-z]+|work|Users/[A-Za-z]+)/[\w.]")
    found = []
    for path in tracked():
        text = path.read_text("utf-8")
        if (len(place) > 2 and place in text) or pattern.search(text):
            found.append(where(path))
    assert not found, found


def test_locks_name_no_host() -> None:
    for lock in [*ROOT.glob("*.lock"), ROOT / "package-lock.json"]:
        assert "://" not in lock.read_text("utf-8"), f"{lock.name} names a host"


def test_pages_carry_no_inline_script_or_style() -> None:
    found = []
    for path in SOURCE.rglob("*.html"):
        text = path.read_text("utf-8")
        if re.search(
            r"<script(?![^>]*\bsrc=)(?![^>]*application/json)[^>]*>|<style\b|\sstyle=|\son[a-z]+=\"", text
        ):
            found.append(where(path))
    assert not found, found


def test_no_page_asks_another_machine_for_anything() -> None:
    found = []
    for path in [*SOURCE.rglob("*.html"), *SOURCE.rglob("*.js"), *SOURCE.rglob("*.css")]:
        text = path.read_text("utf-8")
        for address in re.findall(r"https?://[^\s\"'`)<]+", text):
            if not address.startswith(("http://www.w3.org/", "http://127.0.0.1")):
                found.append(f"{where(path)}: {address}")
    assert not found, found


def test_the_core_reads_no_clock_no_file_and_no_hidden_chance() -> None:
    clock = r"datetime\.now|date\.today|time\.time\(|time\.(?:perf_counter|monotonic|process_time)"
    # A generator seeded where it is made gives the same answer every time; anything else is hidden chance.
    chance = r"np\.random\.(?!Generator|SeedSequence|default_rng\([^)])|import random\b"
    forbidden = re.compile(rf"\b(?:{clock}|{chance}|open\(|read_text|os\.environ)")
    found = [
        f"{where(path)}: {hit.group(0)}"
        for path in sources(".py")
        if path.relative_to(SOURCE).parts[0] == "core"
        for hit in [forbidden.search(path.read_text("utf-8"))]
        if hit
    ]
    assert not found, found


def test_only_the_server_reads_the_environment() -> None:
    # What a command may set for the server that it starts.
    told = {"DJANGO_SETTINGS_MODULE", "TARSUS_HOME", "TARSUS_TLS", "TARSUS_PARK_HOSTS", "TARSUS_NEW"}
    told |= {"TARSUS_PARK_INVITATION", "TARSUS_FIRST_PERSON"}
    found = []
    for path in sources(".py"):
        if path.relative_to(SOURCE).parts[0] == "server":
            continue
        text = path.read_text("utf-8")
        sets = re.findall(r"os\.environ(?:\.setdefault\(|\[)\"(\w+)\"(?:, |\] = )", text)
        if len(re.findall(r"os\.(?:environ|getenv)", text)) > len(told & set(sets)):
            found.append(where(path))
    assert not found, found


@pytest.mark.parametrize("unit", sorted((ROOT / "packaging").glob("tarsus*.*")), ids=lambda path: path.name)
def test_units_are_whole_by_systemds_own_verifier(unit: Path, tmp_path: Path) -> None:
    # systemd-analyze, part of systemd: it knows every key, and says so of one that it does not.
    verifier = shutil.which("systemd-analyze")
    assert verifier, "install it with: apt-get install systemd"
    told = unit.read_text("utf-8").replace("/opt/tarsus/.venv/bin/tarsus", "/bin/true")
    (tmp_path / unit.name).write_text(told, "utf-8")
    for other in unit.parent.glob("tarsus-*.service"):
        text = other.read_text("utf-8").replace("/opt/tarsus/.venv/bin/tarsus", "/bin/true")
        (tmp_path / other.name).write_text(text, "utf-8")
    done = subprocess.run(
        [verifier, "verify", str(tmp_path / unit.name)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert not done.stderr.strip(), done.stderr


def test_whatever_is_not_checked_says_why() -> None:
    """An ignored complaint of a checker carries its reason on its own line."""
    code = re.compile(r"#\s*(?:noqa(?::[A-Z0-9, ]+)?|type: ignore(?:\[[a-z, -]+\])?)")
    silent = [
        f"{where(path)}:{number}"
        for path in tracked()
        if path.suffix == ".py" and "migrations" not in path.parts and path.name != "test_house.py"
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if (hit := code.search(line)) and not re.search(r"[a-z]{3}", code.sub("", line[hit.start() :]))
    ]
    assert not silent, silent
