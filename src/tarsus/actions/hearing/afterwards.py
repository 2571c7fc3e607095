"""What is done once a batch was heard: it follows from what was written, and can be made anew at any time."""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.utils import timezone

from tarsus.actions.errands import ERRANDS
from tarsus.actions.hearing.waiting import release_arrived
from tarsus.actions.learning import learn_readers
from tarsus.actions.learning_cameras import learn_cameras
from tarsus.actions.photographs import clear_pictures
from tarsus.actions.presence import keep_checkpoints

_LOG: Final = logging.getLogger(__name__)


def follow(wrote: Sequence[Mapping[str, Any]]) -> None:
    """Do what follows from the facts of a batch that were written; a failure here is no answer to anybody."""
    if wrote:
        ERRANDS.ask(release_arrived)
    _carry_the_watch(wrote)
    _teach(wrote)
    _clear_pictures()


def _clear_pictures() -> None:
    """Take away pictures whose days are over; a failure is logged, and the next run does it."""
    try:
        clear_pictures(timezone.now())
    except Exception:
        _LOG.exception("pictures whose days are over could not be taken away")


_TEACHES: Final = frozenset({"handling", "sighting", "withdrawn", "practice_sharing", "practice_shared"})
_TEACHES_CAMERAS: Final = frozenset({"handling", "band_checked", "photograph"})
"""So does whatever puts something right: a sighting that named another bird, a band."""


def _teach(wrote: Sequence[Mapping[str, Any]]) -> None:
    """Make lessons anew where something was told that may confirm a reading.

    A lesson that is missing or old only makes the model less sure, so nobody waits for it.
    """
    written = {fact.get("kind") for fact in wrote}
    if written & _TEACHES:
        ERRANDS.ask(learn_of_readers)
    if written & _TEACHES_CAMERAS or any(fact.get("corrects") for fact in wrote):
        ERRANDS.ask(learn_of_cameras)


def learn_of_readers() -> int:
    """Learn from the checks of every reader as of now."""
    return learn_readers(timezone.now())


def learn_of_cameras() -> int:
    """Learn from checked photographs as of now."""
    return learn_cameras(timezone.now())


FIRST: Final = (release_arrived, learn_of_readers, learn_of_cameras)
"""Errands that a server begins with: what the one before it may not have come to."""


def _carry_the_watch(wrote: Sequence[Mapping[str, Any]]) -> None:
    """Carry the watch's checkpoints forward once a round was closed: pages then read only what is new.

    Without them every answer is the same, only slower; so whatever goes wrong here is logged and never
    keeps the phone from hearing that its facts are written.
    """
    if any(fact.get("kind") == "round_closed" for fact in wrote):
        try:
            keep_checkpoints(timezone.now())
        except Exception:
            _LOG.exception("the watch could not be carried forward")
