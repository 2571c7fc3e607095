"""One line of the table of `make bench`: a job, what it took now, beside what, and what is aimed at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measured:
    """A job's time and its peer's in the same run, both in seconds, and the ratio that is aimed at.

    `most`: the ratio is to stay at or below it; `least`: at or above it. With neither nothing is aimed at.
    """

    job: str
    now: float
    peer: str
    beside: float
    ratio: float
    most: float | None = None
    least: float | None = None

    @property
    def met(self) -> bool:
        """Whether the aim is met, as far as there is one."""
        return (self.most is None or self.ratio <= self.most) and (
            self.least is None or self.ratio >= self.least
        )

    @property
    def aim(self) -> str:
        """The aim in signs, with what is said where it is missed."""
        said = "" if self.most is None and self.least is None else "met" if self.met else "**missed**"
        bound = f"≤ {self.most:g}" if self.most is not None else f"≥ {self.least:g}" if said else ""
        return f"{bound} {said}".strip() or "none"


def as_table(rows: Iterable[Measured]) -> str:
    """The lines as a table of Markdown, which reads well in a terminal, too."""
    head = "| job | now | peer or limit | ratio | aim |\n|---|--:|---|--:|---|\n"
    return head + "".join(
        f"| {row.job} | {in_words(row.now)} | {row.peer}, {in_words(row.beside)} "
        f"| {row.ratio:.3g} | {row.aim} |\n"
        for row in rows
    )


def in_words(seconds: float) -> str:
    """A time with the unit that leaves it two or three digits."""
    for unit, size in (("s", 1.0), ("ms", 1e-3)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds * 1e6:.3g} µs"
