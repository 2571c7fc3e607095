"""Running `tarsus` as a shell does, with a home of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from kept_register import begun


def tarsus(
    home: Path, *words: str, stdin: bytes | None = None, cwd: Path | None = None, **environment: str
) -> subprocess.CompletedProcess[str]:
    """What one command printed and with which status it ended."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TARSUS_")}
    done = subprocess.run(
        [sys.executable, "-m", "tarsus.cli.main", *words],
        input=stdin,
        capture_output=True,
        timeout=300,
        check=False,
        cwd=cwd or home,
        env={**clean, "TARSUS_HOME": str(home), "COLUMNS": "200", **environment},
    )
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def with_person(home: Path, *, from_nothing: bool = False) -> Path:
    """A fresh register with one person, Corin, who may do everything."""
    home.mkdir(parents=True, exist_ok=True)
    if not from_nothing:
        begun(home)
    for words in (
        ("manage", "migrate", "--new", "--verbosity", "0"),
        ("manage", "createsuperuser", "--noinput", "--login", "corin", "--display_name", "Corin"),
    ):
        made = tarsus(home, *words, DJANGO_SUPERUSER_PASSWORD="aviary-key-77")
        assert made.returncode == 0, made.stderr
    return home
