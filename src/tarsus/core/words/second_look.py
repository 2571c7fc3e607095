"""What a round comes to at its end: the count against the names, and who needs a second look.

The phone says it while the round is called (`shared/second-look.js`, the twin of this module); the server
says of a short count what it knows without the names of the round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tarsus.core.presence.advice import PRESENT
from tarsus.core.words.certainty import together
from tarsus.core.words.numbers import capital, counted, in_a_row, in_words, per_cent, plural

NAMED: Final = 3
"""So many of the likeliest are named."""


@dataclass(frozen=True, slots=True)
class Unseen:
    """A bird that nobody saw in a round; `missing` is the chance to be among those that the count lacks."""

    name: str
    missing: float
    advice: str = PRESENT
    search: bool = False
    excused: bool = False


@dataclass(frozen=True, slots=True)
class RoundSaid:
    """What a round comes to in one sentence, and whether something is amiss."""

    amiss: bool
    say: str


def who_needs_one(unseen: Sequence[Unseen], short: int) -> tuple[str, ...]:
    """Name the unseen birds that need a second look, in the order they came in.

    Those on *search* or *look again*, and where the count is short the fewest who together are almost surely
    the missing ones. A bird that was only missed is looked for by the next round.

    Args:
        unseen: the birds that nobody saw.
        short: how many the count lacks; 0 where it lacks none or nobody counted.
    """
    looked = [bird for bird in unseen if not bird.excused]
    among = _likeliest(looked) if short > 0 else []
    return tuple(bird.name for bird in looked if bird.search or bird.advice != PRESENT or bird in among)


def _likeliest(unseen: Sequence[Unseen]) -> list[Unseen]:
    """The fewest who are almost surely the missing ones, likeliest first."""
    ranked = sorted(unseen, key=lambda bird: -bird.missing)
    return ranked[: together([bird.missing for bird in ranked])]


def comes_to(expected: int, count: int | None, unseen: Sequence[Unseen], miscount: float) -> RoundSaid:
    """Say the count, the names and the watch in one sentence.

    Args:
        expected: birds that a count should find.
        count: birds counted, or None where nobody counted.
        unseen: everybody whom nobody saw, inferred birds too.
        miscount: chance that the count is wrong and nobody is missing; it calls nothing off.
    """
    n = len(unseen)
    they, are = f"{in_words(n)} unseen {counted('bird', n)}", _is(n)
    if count is None:
        unknown = f"Nobody counted, so nobody can say whether the {they} {are} here."
        return RoundSaid(amiss=False, say=unknown if n else "Every bird was seen.")
    short = expected - count
    if short < 0:
        more = f"{count} counted, {in_words(-short)} more than the roll of {expected}: count again."
        return RoundSaid(amiss=True, say=more)
    if short == 0:
        here = f"so the {they} {are} here." if n else "seen."
        return RoundSaid(amiss=False, say=f"All {expected} were counted{', ' if n else ' and '}{here}")
    return RoundSaid(amiss=True, say=_short(f"{count} counted of {expected}", short, unseen, miscount))


def _short(lead: str, short: int, unseen: Sequence[Unseen], miscount: float) -> str:
    n = len(unseen)
    if short > n:
        named = f"only {in_words(n)} unseen" if n else "every bird was named"
        return (
            f"{lead}: {in_words(short)} {_is(short)} missing but {named}, so count again, or a name is wrong."
        )
    if short == n:
        *names, last = [bird.name for bird in unseen]
        who = f"{', '.join(names)} or {last}: they are" if names else f"{last}: it is"
        return f"{lead} and nobody saw {who} missing, {_unless(miscount)}"
    among = [(bird.name, bird.missing) for bird in _likeliest(unseen)[:NAMED]]
    they = f"{in_words(n)} unseen {counted('bird', n)}"
    return f"{lead}: {in_words(short)} of the {they} {_is(short)} missing{_whom(among)}, {_unless(miscount)}"


def short_count_said(on_roll: int, count: int, among: Sequence[tuple[str, float]], miscount: float) -> str:
    """What a short count says where the names of the round are not at hand: how many are missing, and who.

    Args:
        on_roll: birds that a count should find.
        count: birds counted, fewer than that.
        among: names with the chance that each is one of the missing, likeliest first.
        miscount: chance that nobody has gone and the count is wrong; it calls nothing off.
    """
    short = on_roll - count
    lead = f"{count} counted of {on_roll}: {in_words(short)} {_is(short)} missing"
    return f"{lead}{_whom(among)}, {_unless(miscount)}"


def _is(number: int) -> str:
    return "is" if number == 1 else "are"


def _whom(among: Sequence[tuple[str, float]]) -> str:
    who = ", ".join(f"{name} ({per_cent(chance)})" for name, chance in among)
    return f", most likely {who}" if who else ""


def _unless(miscount: float) -> str:
    return f"unless the count is wrong ({per_cent(miscount)}): look all the same."


def not_listed(missed: int, excused: int) -> str:
    """Those who need no second look, in a sentence or two; empty where there are none.

    Args:
        missed: birds that were merely missed.
        excused: birds that are not looked for: on a nest, in moult.
    """
    sitting = f"{capital(in_words(excused))} {_is(excused)} not looked for." if excused else ""
    if not missed:
        return sitting
    verbs = "other was missed and needs" if missed == 1 else "others were missed and need"
    return f"{capital(in_words(missed))} {verbs} no second look. {sitting}".strip()


def not_called_said(lookalikes: Sequence[str]) -> str:
    """Which look-alike groups nobody called."""
    return f"{capital(in_a_row([plural(one) for one in lookalikes]))} were not called."


def without_said(lookalikes: Sequence[str]) -> str:
    """What a closing leaves out; empty where it leaves out nothing."""
    return f"without {in_a_row([plural(one) for one in lookalikes])}" if lookalikes else ""


def counts_differ_said(told: Sequence[tuple[str, int, str]], lowest: int) -> str:
    """Two counts that differ, told beside each other.

    Args:
        told: who counted, how many, and the hour.
        lowest: the count that stands.
    """
    each = [f"{who} counted {count} at {at}" for who, count, at in told]
    return f"{in_a_row(each)}: {lowest} stands until somebody counts again."
