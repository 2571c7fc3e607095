"""A server asks ahead of its readers what a write has made old. Decision 0062."""

from __future__ import annotations

import logging
import threading
import time
from typing import Final

_LOG: Final = logging.getLogger(__name__)

QUIET_S: Final = 1.0
"""For so long nothing was written: among the facts of a phone that sends, every answer is old at once."""

REST: Final = 3.0
"""Rests so many times as long as it worked: a quarter of one processor at most is not the readers'."""

AFTER_A_FAULT_S: Final = 60.0


def begin_asking_ahead() -> None:
    """Ask ahead in a thread that ends with its process."""
    threading.Thread(target=_run, daemon=True, name="asks ahead").start()


def _run() -> None:
    # The tables can be named only once Django is set up.
    from django.db import connections
    from django.utils import timezone

    from tarsus.queries.days import park_zone
    from tarsus.queries.once import ask_ahead, wished
    from tarsus.records.version import version_now

    before = None
    while True:
        time.sleep(QUIET_S)
        if not wished():
            continue
        began = time.thread_time()
        try:
            now = version_now()
            if now == before:
                with timezone.override(park_zone()):
                    ask_ahead()
            before = now
        except Exception:
            _LOG.exception("nothing could be asked ahead")
            connections.close_all()
            time.sleep(AFTER_A_FAULT_S)  # it may last, and each is a line of the log
        time.sleep(REST * (time.thread_time() - began))
