"""Completion and man page say what the commands say now, and a shell completes by them."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from tarsus.cli.main import COMMANDS

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def writer() -> ModuleType:
    """The script that writes them."""
    path = ROOT / "scripts" / "write_shell_words.py"
    spec = importlib.util.spec_from_file_location("write_shell_words", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_files_are_what_the_commands_say_now(writer: ModuleType) -> None:
    for what, text in writer.written().items():
        kept = (ROOT / writer.FILES[what]).read_text(encoding="utf-8")
        assert kept == text.rstrip("\n") + "\n", (
            f"{writer.FILES[what]} is older: run .venv/bin/python scripts/write_shell_words.py, commit that"
        )


def completed(*words: str) -> list[str]:
    """What bash itself offers after these words."""
    script = (
        f"source {ROOT / 'packaging/completion/tarsus.bash'}; COMP_WORDS=({' '.join(words)}); "
        f'COMP_CWORD={len(words) - 1}; _shtab_tarsus; printf "%s\\n" "${{COMPREPLY[@]}}"'
    )
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)
    return done.stdout.split()


def test_bash_offers_commands_and_their_options() -> None:
    assert set(completed("tarsus", "''")) >= set(COMMANDS)
    assert completed("tarsus", "cat") == ["catch-up"]
    assert "--park" in completed("tarsus", "serve", "--p")
    assert "--park" not in completed("tarsus", "export", "--p")


def test_the_man_page_names_every_command() -> None:
    page = (ROOT / "packaging/man/tarsus.1").read_text(encoding="utf-8").replace("\\-", "-")
    for name, (_, summary) in COMMANDS.items():
        assert name in page
        assert summary in page
    assert sys.prefix not in page
