"""What the live server is being asked: it answers in threads of its own, and may do so when a test is over.

Whatever is still answered then reads the register of the next test, or writes into it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition, Thread, current_thread
from time import monotonic
from typing import Any

from django.core.signals import request_finished, request_started

WAITS_S = 60


class Asked:
    """The threads that are at an answer. One that died at it has none to give any more."""

    def __init__(self) -> None:
        self._at_it: set[Thread] = set()
        self._changed = Condition()

    def begins(self, **_: Any) -> None:
        with self._changed:
            self._at_it.add(current_thread())

    def ends(self, **_: Any) -> None:
        with self._changed:
            self._at_it.discard(current_thread())
            self._changed.notify_all()

    def wait_until_all_are_answered(self) -> None:
        ends = monotonic() + WAITS_S
        with self._changed:
            while any(thread.is_alive() for thread in self._at_it):
                assert monotonic() < ends, "the server is still at an answer"
                self._changed.wait(0.2)  # who dies tells nobody
            self._at_it.clear()


@contextmanager
def counted() -> Iterator[Asked]:
    """Count what is asked from now on."""
    asked = Asked()
    request_started.connect(asked.begins)
    request_finished.connect(asked.ends)
    try:
        yield asked
    finally:
        request_started.disconnect(asked.begins)
        request_finished.disconnect(asked.ends)
