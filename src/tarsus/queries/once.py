"""What is asked twice is answered once: while a page is made, and for later ones while nothing was written.

Later pages are answered from what is kept with the register's version (`records/version.py`). Whoever writes,
in whatever process, makes another version, and nothing kept is told any more. Time goes on without a write:
pages of one version are answered as of the moment of the first of them, for a minute at most. What readers
asked lately can be asked ahead of the next of them (`ask_ahead`, decision 0062).
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager, nullcontext
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import wraps
from typing import Any, Final, ParamSpec, TypeVar

from django.utils import timezone

from tarsus.records.version import version_now

Asked = ParamSpec("Asked")
Told = TypeVar("Told")

_Question = tuple[Callable[..., Any], tuple[Any, ...], tuple[tuple[str, Any], ...]]

MOST: Final = 400
"""Answers that one process keeps. Ours: a park of some hundred birds and a dozen people has fewer."""

LATELY: Final = timedelta(minutes=10)
"""So long what a reader asked is asked ahead for the next. Ours: the way between two exhibits is shorter."""

MOST_AHEAD: Final = 60
"""Questions that are asked ahead: the latest. Ours: the packs and pages of a morning's keepers."""


@dataclass
class _Kept:
    """Answers of one version of the register; those that name a moment are as of `moment`."""

    version: Hashable
    moment: datetime
    answers: dict[_Question, Any] = field(default_factory=dict)
    ahead: set[_Wish] = field(default_factory=set)  # wishes that were asked of it: each once

    def goes_on(self, version: Hashable, now: datetime) -> bool:
        """Whether its answers of days still hold: some ask the clock themselves, to the day."""
        return version == self.version and _hour(self.moment) == _hour(now)


@dataclass
class _Page:
    """What was asked while one page is made, and what all pages of this version share, if they may."""

    answers: dict[_Question, Any]
    shared: _Kept | None
    within: int = 0  # how many questions wait for the answer to another
    ahead: bool = False  # no reader waits for it


@dataclass(frozen=True, slots=True)
class _Wish:
    """A question as a reader asked it, to be asked again as of another moment."""

    ask: Callable[..., Any]
    args: tuple[Any, ...]
    named: tuple[tuple[str, Any], ...]

    def as_of(self, moment: datetime) -> Any:
        args = (moment if one is _NOW else one for one in self.args)
        return self.ask(*args, **{name: moment if one is _NOW else one for name, one in self.named})


_PAGE: Final[ContextVar[_Page | None]] = ContextVar("page", default=None)
_LOCK: Final = threading.Lock()
_NOTHING: Final = object()
_NOW: Final = object()
_LATEST: Final[list[_Kept]] = []  # the newest version's alone
_WISHES: Final[dict[_Wish, datetime]] = {}  # and when a reader had each last; the latest stands last


@contextmanager
def asking(*, kept: bool = False) -> Iterator[None]:
    """Keep every answer of `once` until the end of the block, in which nothing is written.

    Args:
        kept: answers also come from earlier blocks that said so, and are kept for later ones, as long as the
            register's version and the minute stay the same. Inside a transaction it changes nothing.
    """
    with _as_part_of(_Page({}, _shared() if kept else None)):
        yield


@contextmanager
def _as_part_of(page: _Page) -> Iterator[None]:
    """Ask for a page, and keep what it was told once it is made."""
    before = _PAGE.set(page)
    try:
        yield
        _keep(page)
    finally:
        _PAGE.reset(before)


@contextmanager
def asking_too() -> Iterator[None]:
    """Ask as part of the page that is being made; where none is, as a page of its own."""
    with nullcontext() if _PAGE.get() is not None else asking():
        yield


def asked_at() -> datetime:
    """The moment as of which a page is answered: now, or that of the kept answers, less than a minute ago."""
    page = _PAGE.get()
    return timezone.now() if page is None or page.shared is None else page.shared.moment


def hold_to_one_moment() -> None:
    """In a transaction that has begun to read: kept answers are told on if they are of its very moment."""
    page = _PAGE.get()
    if page is not None and page.shared is not None and version_now(within=True) != page.shared.version:
        page.answers, page.shared = {}, None


def once(question: Callable[Asked, Told]) -> Callable[Asked, Told]:
    """Make a question be answered once. What it takes is hashable, and nobody changes what it tells.

    It takes the moment of asking, or the day, as an argument, and asks no clock that matters within the hour.
    Outside of `asking` the register is asked each time.
    """

    @wraps(question)
    def answer(*args: Asked.args, **kwargs: Asked.kwargs) -> Told:
        page = _PAGE.get()
        if page is None:
            return question(*args, **kwargs)
        key: _Question = (question, args, tuple(kwargs.items()))
        if page.shared is not None and not page.within and not page.ahead:
            _remember(answer, key, page.shared.moment)
        if key not in page.answers:
            kept = _NOTHING if page.shared is None else page.shared.answers.get(key, _NOTHING)
            page.within += 1
            try:
                page.answers[key] = question(*args, **kwargs) if kept is _NOTHING else kept
            finally:
                page.within -= 1
        told: Told = page.answers[key]
        return told

    return answer


def ask_ahead() -> int:
    """Ask what readers asked lately, so that the next of them need not wait: the latest first.

    What was asked ahead of this version and minute is not asked again; after a write everything is. Where
    something is written meanwhile it stops, for its answers would be told to nobody.

    Returns:
        how many were asked.
    """
    asked = 0
    for wish in _wishes(timezone.now()):
        shared = _shared()
        if shared is None:
            break
        if wish in shared.ahead:
            continue
        shared.ahead.add(wish)
        try:
            with _as_part_of(_Page({}, shared, ahead=True)):
                wish.as_of(shared.moment)
        except Exception:  # a reader who asks it again is told why
            _forget(wish)
            continue
        asked += 1
        if version_now() != shared.version:
            break
    return asked


def _remember(answer: Callable[..., Any], key: _Question, moment: datetime) -> None:
    """Remember that a reader asked this, unless it was as of a moment of its own."""
    if _moment_of(key) not in (None, moment):
        return
    _, args, named = key
    wish = _Wish(
        answer,
        tuple(_NOW if isinstance(one, datetime) else one for one in args),
        tuple((name, _NOW if isinstance(one, datetime) else one) for name, one in named),
    )
    with _LOCK:
        _WISHES.pop(wish, None)
        _WISHES[wish] = timezone.now()
        for old in list(_WISHES)[: max(len(_WISHES) - MOST_AHEAD, 0)]:
            del _WISHES[old]


def _forget(wish: _Wish) -> None:
    with _LOCK:
        _WISHES.pop(wish, None)


def _wishes(now: datetime) -> list[_Wish]:
    """What was asked lately, the latest first; the rest is forgotten."""
    with _LOCK:
        for wish in [wish for wish, at in _WISHES.items() if at < now - LATELY]:
            del _WISHES[wish]
        return list(reversed(_WISHES))


def wished() -> bool:
    """Whether anything would be asked ahead."""
    return bool(_WISHES)


def _shared() -> _Kept | None:
    """What is kept of the version that the register has now, begun anew where it has another one."""
    version, now = version_now(), timezone.now()
    if version is None:
        return None
    with _LOCK:
        latest = _LATEST[0] if _LATEST else None
        if latest is None or not latest.goes_on(version, now):
            latest = _Kept(version, now)
        elif _minute(latest.moment) != _minute(now):
            latest = _Kept(version, now, {k: v for k, v in latest.answers.items() if _moment_of(k) is None})
        _LATEST[:] = [latest]
        return latest


def _keep(page: _Page) -> None:
    """Keep what a page was told, unless something was written while it asked: it may have seen half of it."""
    shared = page.shared
    if shared is None:
        return
    # What was asked as of a moment of its own nobody asks for again.
    of_this = (k for k in page.answers if k not in shared.answers and _moment_of(k) in (None, shared.moment))
    new = {key: page.answers[key] for key in of_this}
    if not new or version_now() != shared.version:
        return
    with _LOCK:
        shared.answers |= new
        for old in list(shared.answers)[: max(len(shared.answers) - MOST, 0)]:
            del shared.answers[old]  # the ones kept longest


def _moment_of(key: _Question) -> datetime | None:
    _, args, named = key
    return next((value for value in (*args, *(of for _, of in named)) if isinstance(value, datetime)), None)


def _minute(moment: datetime) -> int:
    return int(moment.timestamp() // 60)


def _hour(moment: datetime) -> int:
    return int(moment.timestamp() // 3600)
