"""Errands: what a deed brings about and nobody waits for, such as learning from a reading that was checked.

A server does them beside its requests, so that a phone is answered when its facts are written; a command and
a test, which end with their work, do them at once. Decision 0052.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterable
from functools import partial

from django.db import connections, transaction

_LOG = logging.getLogger(__name__)

Errand = Callable[[], object]


class Errands:
    """Errands of one process, one at a time, in the order in which they were asked for."""

    def __init__(self) -> None:
        self._waiting: dict[Errand, None] = {}
        self._heard = threading.Condition()
        self._thread: threading.Thread | None = None

    @property
    def beside(self) -> bool:
        """Whether they are done in a thread of their own."""
        return self._thread is not None

    def ask(self, errand: Errand) -> None:
        """Have an errand done: beside what asks, where `begin` was called, else here and now.

        It finds for itself what there is to do: asked for again while it waits it is done once. Whatever goes
        wrong in it is logged and keeps nobody from hearing that their facts are written.
        """
        if not self.beside:
            _do(errand)
            return
        # What another thread does sees no rows before they are committed.
        transaction.on_commit(partial(self._hear, errand))

    def _hear(self, errand: Errand) -> None:
        with self._heard:
            self._waiting[errand] = None
            self._heard.notify()

    def begin(self, first: Iterable[Errand] = ()) -> None:
        """Do errands in a thread that ends with its process.

        Args:
            first: done to begin with, since an earlier process may have ended before it came to them.
        """
        self._waiting = dict.fromkeys(first)
        self._thread = threading.Thread(target=self._run, daemon=True, name="does errands")
        self._thread.start()

    def _run(self) -> None:
        while True:
            with self._heard:
                self._heard.wait_for(lambda: self._waiting)
                errand = next(iter(self._waiting))
                del self._waiting[errand]
            _do(errand)
            # It may be long until the next: nothing is held open until then.
            connections.close_all()


def _do(errand: Errand) -> None:
    try:
        errand()
    except Exception:
        _LOG.exception("an errand could not be done: %s", getattr(errand, "__name__", errand))


ERRANDS = Errands()
"""Those of this process."""
