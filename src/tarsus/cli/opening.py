"""Opening the register for a command: which home folder, and its tables brought up to date."""

from __future__ import annotations

import os
from pathlib import Path


def choose_home(folder: str) -> None:
    """Keep the register in this folder, whatever the environment says."""
    os.environ["TARSUS_HOME"] = str(Path(folder).resolve())


def bring_tables_up_to_date() -> None:
    """Run the migrations that are still to run, if any."""
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", verbosity=0, interactive=False)
