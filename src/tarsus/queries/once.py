"""A page that asks the same thing twice is answered once: answers are kept while it is made, no longer."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any, Final, ParamSpec, TypeVar

Asked = ParamSpec("Asked")
Told = TypeVar("Told")

_KEPT: Final[ContextVar[dict[Hashable, Any] | None]] = ContextVar("kept", default=None)


@contextmanager
def asking() -> Iterator[None]:
    """Keep every answer of `once` until the end of the block, in which nothing is written."""
    before = _KEPT.set({})
    try:
        yield
    finally:
        _KEPT.reset(before)


def once(question: Callable[Asked, Told]) -> Callable[Asked, Told]:
    """Make a question be answered once a page. What it takes is hashable, and nobody changes what it tells.

    Outside of `asking` the register is asked each time.
    """

    @wraps(question)
    def answer(*args: Asked.args, **kwargs: Asked.kwargs) -> Told:
        kept = _KEPT.get()
        if kept is None:
            return question(*args, **kwargs)
        key = (question, args, tuple(kwargs.items()))
        if key not in kept:
            kept[key] = question(*args, **kwargs)
        told: Told = kept[key]
        return told

    return answer
