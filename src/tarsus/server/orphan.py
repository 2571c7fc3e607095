"""A worker whose parent was killed stops: else it holds the port, and an old version goes on answering."""

from __future__ import annotations

import os
import signal
import threading
import time
from multiprocessing import parent_process
from typing import Final

LOOKS_EVERY_S: Final = 1.0
FINISHES_WITHIN_S: Final = 10.0
"""What it has begun to answer is answered first; after so long it ends all the same."""


def end_with_parent() -> None:
    """Watch over the process that made this one, where one did, in a thread that holds nothing up."""
    parent = parent_process()
    if parent is not None and parent.pid is not None:
        threading.Thread(target=_watch, args=(parent.pid,), daemon=True, name="ends with its parent").start()


def _watch(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(LOOKS_EVERY_S)
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(FINISHES_WITHIN_S)
    os._exit(1)
