"""Upkeep of the register (migrations, people)."""

from __future__ import annotations

import os

SUMMARY = "Upkeep of the register (migrations, people)."


def run(args: list[str]) -> int:
    """Hand over to the framework's own upkeep commands."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tarsus.server.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(["tarsus manage", *args])
    return 0
