"""The key that sessions are signed with, made once for a register and kept beside it."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path
from typing import Final

from tarsus.core.errors import WrongValue

FILE: Final = "secret-key"
SHORTEST: Final = 32


def signing_key(home: Path, *, keep: bool) -> str:
    """The signing key of the register in this folder; where none is to be kept, one for this process alone.

    Raises:
        WrongValue: the file of the key is there and holds none.
    """
    path = home / FILE
    if not path.exists():
        if not (keep and home.is_dir()):
            return secrets.token_urlsafe(50)
        _make(path)
    key = path.read_text(encoding="ascii", errors="replace").strip()
    if len(key) < SHORTEST:
        raise WrongValue(
            str(path),
            "holds no whole key; put it back from a safe copy, or remove the file (people then sign in anew)",
        )
    return key


def told_key(said: str) -> str:
    """The signing key that a setting gives; empty where none does.

    Raises:
        WrongValue: it is too short to sign anything with.
    """
    if said and len(said.strip()) < SHORTEST:
        raise WrongValue(
            "TARSUS_SECRET_KEY",
            f"has {len(said.strip())} characters; write {SHORTEST} or more by chance, or leave it out",
        )
    return said.strip()


def _make(path: Path) -> None:
    """Write a new key whole or not at all; of two that make one at a time, the first one's counts."""
    fresh = path.with_name(f"{path.name}.{os.getpid()}.part")
    with os.fdopen(
        os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="ascii"
    ) as made:
        made.write(secrets.token_urlsafe(50))
        made.flush()
        os.fsync(made.fileno())
    try:
        with contextlib.suppress(FileExistsError):
            path.hardlink_to(fresh)
    finally:
        fresh.unlink()
