"""Bringing a register up to this version: a copy first; and never down."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tarsus.core.errors import MalformedInput

if TYPE_CHECKING:
    from django.db.migrations.executor import MigrationExecutor

COPIES: Final = "register-before-upgrade-"


class NewerRegister(MalformedInput):
    """A newer Tarsus has written in this register; this one would not know what it reads."""

    def __init__(self, register: str, step: str, knows: str, copy: str) -> None:
        self.step = step
        back = (
            f"or put the copy in its place that was made before the upgrade: tarsus restore {copy}"
            if copy
            else "or restore a backup that was made before the upgrade"
        )
        super().__init__(
            register,
            f"was written by a newer Tarsus (its tables are at {step}, this one knows them up to {knows}); "
            "nothing was touched. Install the newer Tarsus again, "
            f"{back} (what was recorded since is not in it)",
        )


class OlderRegister(MalformedInput):
    """A register of an older Tarsus was to be looked at, and a look writes nothing."""

    def __init__(self, register: str, step: str, needs: str) -> None:
        self.step = step
        super().__init__(
            register,
            f"is of an older Tarsus (its tables are at {step}, this one needs {needs}), and a look writes "
            "nothing. Bring it up first: start it once with tarsus serve, which keeps a copy of it as it was",
        )


def refuse_older(executor: MigrationExecutor, register: str) -> None:
    """Refuse a register whose tables are those of an older version.

    Raises:
        OlderRegister: they are.
    """
    loader: Any = executor.loader
    if executor.migration_plan(loader.graph.leaf_nodes()):
        applied = sorted(name for app, name in loader.applied_migrations if app == "records")
        known = sorted(name for app, name in loader.disk_migrations if app == "records")
        raise OlderRegister(register, applied[-1] if applied else "none", known[-1])


def refuse_newer(executor: MigrationExecutor, register: str, folders: tuple[Path, ...]) -> None:
    """Refuse a register whose tables are those of a newer version.

    Raises:
        NewerRegister: they are.
    """
    loader: Any = executor.loader
    known = sorted(name for app, name in loader.disk_migrations if app == "records")
    newer = sorted(
        name for app, name in loader.applied_migrations if app == "records" and name not in set(known)
    )
    if newer:
        raise NewerRegister(register, newer[-1], known[-1], _last_copy(folders))


def copy_before(folder: Path, suffix: str) -> Path:
    """Copy the register as it is before its tables are changed.

    Raises:
        CannotKeep: no copy can be made, so nothing is changed.
    """
    from django.utils import timezone

    from tarsus.actions.safekeeping.deed import back_up
    from tarsus.actions.safekeeping.refusals import CannotKeep

    target = folder / f"{COPIES}{timezone.now():%Y%m%d-%H%M%S}{suffix}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return back_up(target=target).path
    except OSError as reason:
        why = f"{folder}: {reason.strerror}"
    except CannotKeep as reason:
        why = f"{reason.place}: {reason.message}"
    raise CannotKeep(
        "register",
        f"has tables of an older Tarsus, and no copy can be made before they are brought up ({why}); "
        "mend that, or bring them up without a copy: tarsus manage migrate",
    )


def _last_copy(folders: tuple[Path, ...]) -> str:
    found = sorted((path.name, path) for folder in folders for path in folder.glob(f"{COPIES}*"))
    return str(found[-1][1]) if found else ""
