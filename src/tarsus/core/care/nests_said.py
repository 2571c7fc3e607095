"""What pages say of a nest."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tarsus.core.care.nests import NestStanding
from tarsus.core.words.days import day_of_year
from tarsus.core.words.numbers import capital, counted


def nest_said(now: NestStanding, over_since: date | None = None) -> str:
    """How a nest stands: what is in it, what became of the rest, what was noted last, since when it is over.

    Args:
        now: how it stands.
        over_since: the day on which somebody wrote it off, or its last chick was gone.
    """
    told = [_failed(now)] if now.over else [*_eggs(now), *_chicks(now), *_lost(now)]
    if not told:
        told = ["Nothing in it by the record."]
    if now.last and now.last.note:
        told.append(now.last.note)
    if over_since:
        told.append(f"Over since {day_of_year(over_since)}.")
    return " ".join(told)


def became_said(hatched: int, became: Sequence[tuple[str, int]], on_roll: int) -> str:
    """What became of the chicks that hatched; nothing where none did.

    Args:
        hatched: how many did.
        became: each fate with how many met it; together they are all that hatched.
        on_roll: how many of the banded ones are on the roll.
    """
    if not hatched:
        return ""
    roll = f" ({on_roll} on the roll)"
    told = [f"{number} {fate}{roll if fate == 'banded' else ''}" for fate, number in became if number]
    return f"Of {hatched} hatched: {', '.join(told)}."


def _failed(now: NestStanding) -> str:
    day = f" {day_of_year(now.last.day)}" if now.last else ""
    return f"Failed{day}, {now.failed} lost."


def _eggs(now: NestStanding) -> list[str]:
    if not now.eggs:
        return []
    laid = f", last laid {day_of_year(now.laid_on)}" if now.laid_on else ""
    return [f"{now.eggs} {counted('egg', now.eggs)}{laid}."]


def _chicks(now: NestStanding) -> list[str]:
    told = []
    if now.with_parents:
        whose = "its" if now.with_parents == 1 else "their"
        told.append(f"{now.with_parents} unbanded {counted('chick', now.with_parents)} with {whose} parents")
    if now.chicks and now.fledged:
        told.append(f"{now.fledged} fledged")
    if told and now.hatched_on:
        told[0] += f", hatched {day_of_year(now.hatched_on)}"
    return [capital("; ".join(told)) + "."] if told else []


def _lost(now: NestStanding) -> list[str]:
    return [f"{now.failed} lost."] if now.failed else []
