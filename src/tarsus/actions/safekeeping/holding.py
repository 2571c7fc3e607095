"""Who is at work on a register: servers hold it together, a restore holds it alone.

The lock is one on a file beside the register. It is let go by the system when its process ends, however it
ends.
"""

from __future__ import annotations

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tarsus.actions.safekeeping.refusals import RegisterInUse


@contextmanager
def held(home: Path, *, alone: bool) -> Iterator[None]:
    """Hold the register in this folder for as long as the block runs.

    Args:
        home: the register's folder.
        alone: nobody else may hold it; otherwise others may who do not hold it alone.

    Raises:
        RegisterInUse: it is held in a way that does not go with this one.
    """
    with (home / "held").open("a") as lock:
        try:
            fcntl.flock(lock, (fcntl.LOCK_EX if alone else fcntl.LOCK_SH) | fcntl.LOCK_NB)
        except BlockingIOError:
            raise RegisterInUse(str(home)) from None
        yield
