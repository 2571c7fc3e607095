"""Which Tarsus this is."""

from __future__ import annotations

from importlib.metadata import version


def version_line() -> str:
    """Name and version, as `tarsus --version` prints them."""
    return f"tarsus {version('tarsus')}"
