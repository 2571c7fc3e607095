"""A bar on standard error, where a person watches and the work takes a while."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

_WORTH_A_BAR: Final = 200


@contextmanager
def progress_bar(what: str, total: int, *, quiet: bool = False) -> Iterator[Callable[[int], None]]:
    """Show how far the work is; the work says each time how many more steps are done."""
    if quiet or total < _WORTH_A_BAR or not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task(what, total=total)
        yield lambda more: shown.advance(task, more)


@contextmanager
def doing(what: str, *, quiet: bool = False) -> Iterator[Callable[[str], None]]:
    """Show that something is being done, for work that cannot say how far it is."""
    if quiet or not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console

    with Console(stderr=True).status(what) as shown:
        yield shown.update
