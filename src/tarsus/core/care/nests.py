"""How a nest stands after what was found in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date


@dataclass(frozen=True)
class Found:
    """Something found at a nest: `kind` with how many, if it says a number."""

    day: date
    kind: str
    amount: int | None = None
    note: str = ""


@dataclass(frozen=True)
class NestStanding:
    """Eggs now, chicks that are a number still, and what became of the others.

    `chicks` counts those that wear no band yet, fledged ones (`flown`) included. Every chick has one answer:
    `hatched` is `chicks`, `banded`, `vanished` and `dead` together. `last`: the latest thing found.
    """

    eggs: int = 0
    chicks: int = 0
    hatched: int = 0
    fledged: int = 0
    banded: int = 0
    failed: int = 0
    flown: int = 0
    vanished: int = 0
    dead: int = 0
    last: Found | None = None
    hatched_on: date | None = None
    laid_on: date | None = None

    @property
    def with_parents(self) -> int:
        """Chicks without a band that have not fledged."""
        return self.chicks - self.flown

    @property
    def over(self) -> bool:
        """Whether nothing is left in it and something was lost."""
        return self.failed > 0 and self.eggs == 0 and self.chicks == 0


def nest_standing(found: Iterable[Found]) -> NestStanding:
    """Say how a nest stands.

    Args:
        found: what was found, in order. *eggs* and *unbanded chicks* say how many there are now, *hatched*,
            *fledged*, *vanished* and *dead* how many more, *banded* that one chick became a bird, *failed*
            how many were lost (all that were left where no number is said). Fewer chicks than before have
            vanished; more have hatched unseen. Who is banded, vanishes or dies is taken from those with
            their parents first.

    Returns:
        What is in it and what became of the rest.

    Source:
        docs/science/inventory.md.
    """
    now = NestStanding()
    for one in found:
        now = replace(standing_after(now, one), last=one)
    return now


def standing_after(now: NestStanding, found: Found) -> NestStanding:
    """How a nest stands after one more thing was found in it."""
    amount = found.amount or 0
    if found.kind == "eggs":
        more = amount > now.eggs
        return replace(now, eggs=amount, laid_on=found.day if more else now.laid_on)
    if found.kind == "hatched":
        return replace(
            now,
            eggs=max(0, now.eggs - amount),
            chicks=now.chicks + amount,
            hatched=now.hatched + amount,
            hatched_on=now.hatched_on or found.day,
        )
    if found.kind == "unbanded chicks":
        return _found_chicks(now, amount)
    if found.kind == "fledged":
        flown = min(now.chicks, now.flown + amount)
        return replace(now, fledged=now.fledged + amount, flown=flown)
    if found.kind in ("vanished", "dead"):
        return _gone(now, found.kind, amount)
    if found.kind == "banded":
        before = now if now.chicks else _found_chicks(now, 1)
        left = before.chicks - 1
        return replace(before, chicks=left, banded=now.banded + 1, flown=min(now.flown, left))
    if found.kind == "failed":
        return _failed(now, found.amount)
    return now


def _found_chicks(now: NestStanding, amount: int) -> NestStanding:
    return replace(
        now,
        chicks=amount,
        hatched=now.hatched + max(0, amount - now.chicks),
        vanished=now.vanished + max(0, now.chicks - amount),
        flown=min(now.flown, amount),
    )


def _gone(now: NestStanding, kind: str, amount: int) -> NestStanding:
    """Chicks that vanished or were found dead; those that nobody had counted before had hatched unseen."""
    before = now if amount <= now.chicks else _found_chicks(now, amount)
    left = before.chicks - amount
    before = replace(before, chicks=left, flown=min(now.flown, left))
    if kind == "dead":
        return replace(before, dead=now.dead + amount)
    return replace(before, vanished=now.vanished + amount)


def _failed(now: NestStanding, amount: int | None) -> NestStanding:
    left = now.eggs + now.chicks
    lost = left if amount is None else min(amount, left)
    eggs_lost = min(lost, now.eggs)
    chicks = now.chicks - (lost - eggs_lost)
    return replace(
        now,
        eggs=now.eggs - eggs_lost,
        chicks=chicks,
        failed=now.failed + lost,
        dead=now.dead + lost - eggs_lost,
        flown=min(now.flown, chicks),
    )
