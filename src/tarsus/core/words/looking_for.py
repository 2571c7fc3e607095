"""What is said of birds that are counted, missing, unseen: the sentences of the roll."""

from __future__ import annotations

from dataclasses import dataclass

from tarsus.core.presence.advice import LOOK_AGAIN, SEARCH
from tarsus.core.words.numbers import counted, per_cent


@dataclass(frozen=True, slots=True)
class AdviceSaid:
    """The advice on one bird in a word or two or none; `search` and `look` say which mark it has."""

    word: str
    search: bool
    look: bool


def advice_said(advice: str, *, unseen: bool, by_count: bool, excused: str = "") -> AdviceSaid:
    """The advice on a bird. Nothing takes *search* away; no unseen bird is *present*.

    Args:
        advice: one of `ADVICE`, with its floors already in it.
        unseen: it was not seen when it was last looked for.
        by_count: the count is short, so one of the unseen is missing.
        excused: why nobody looks for it, or empty.
    """
    if excused:
        return AdviceSaid(f"Not looked for: {excused}", search=False, look=False)
    if advice == SEARCH:
        return AdviceSaid("Search, look now" if by_count else "Search", search=True, look=by_count)
    if by_count:
        return AdviceSaid("Look now", search=False, look=True)
    if advice == LOOK_AGAIN:
        return AdviceSaid("Look again", search=False, look=True)
    return AdviceSaid("" if unseen else "Present", search=False, look=False)


def how_long_unseen(days: int, *, ever_seen: bool) -> str:
    """How long a bird was not seen before this round."""
    if not ever_seen:
        return "never seen here yet"
    return f"unseen {days} {counted('day', days)}" if days > 0 else "missed this round only"


def unseen_shortly(days: int, limit: int, place: str, *, ever_seen: bool) -> str:
    """A bird that is looked for in one line: how long unseen, its species' limit, its likeliest place."""
    if not ever_seen:
        told = "never seen here yet"
    elif days > 0:
        told = f"{days} {counted('day', days)}, limit {limit}"
    else:
        told = f"missed today, limit {limit} {counted('day', limit)}"
    return f"{told} · {place}" if place else told


def still_here_said(still_here: float, by_count: float = 0.0) -> str:
    """How likely a bird is still here, with the short count and without it in one sentence.

    Args:
        still_here: chance that it is, by its rounds.
        by_count: chance that it is one of those whom a short count lacks; 0 where no count is short.
    """
    if by_count == 0:
        return f"Still here: {per_cent(still_here)}."
    return (
        f"Still here: {per_cent(1 - by_count)}, since the count is short; "
        f"{per_cent(still_here)} by its rounds alone."
    )
