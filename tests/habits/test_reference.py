"""The reference pages say what the code says; an older page is found here."""

from __future__ import annotations

import importlib.util
import subprocess
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def writer() -> ModuleType:
    """The script that writes the pages."""
    spec = importlib.util.spec_from_file_location("write_reference", ROOT / "scripts" / "write_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("page", ["commands.md", "settings.md", "errors.md", "deeds.md", "documents.md"])
def test_the_page_is_what_the_code_says_now(writer: ModuleType, page: str) -> None:
    kept = (ROOT / "docs" / "reference" / page).read_text(encoding="utf-8")
    assert kept == writer.PAGES[page](), (
        "run .venv/bin/python scripts/write_reference.py and commit what it writes"
    )


def test_every_command_has_its_own_summary(writer: ModuleType) -> None:
    from tarsus.cli.main import COMMANDS

    for name, (module, summary) in COMMANDS.items():
        if importlib.util.find_spec(f"tarsus.cli.{module}") is not None:
            assert summary == importlib.import_module(f"tarsus.cli.{module}").SUMMARY, name


def test_documents_for_people_lead_somewhere() -> None:
    """Every link between our own documents goes to a file that is there."""
    import re

    told = subprocess.run(["git", "ls-files", "*.md"], cwd=ROOT, capture_output=True, text=True, check=True)
    dead = []
    for name in told.stdout.split():
        page = ROOT / name
        for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if "://" not in target and not (page.parent / target).exists():
                dead.append(f"{name}: {target}")
    assert dead == []
