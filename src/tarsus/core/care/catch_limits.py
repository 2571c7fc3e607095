"""What the vet allows of a catch: minutes, rest, heat, cold, nests; and what vet and lead lifted together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

NEST: Final = "nest or brood"
MOULT: Final = "moult"
REST_DAYS: Final = "rest days"
HEAT: Final = "heat"
COLD: Final = "cold"


@dataclass(frozen=True)
class CatchLimits:
    """The vet's limits. Minutes run from the start of catching until the last bird is let go.

    `too_hot_c`: from this forecast on a catch is over by `until_hour`. `too_cold_c`: below it nobody is
    caught; `None` where the vet set no such limit.
    """

    minutes: float
    rest_days: int
    too_hot_c: float
    until_hour: float
    mates_together: bool = True
    too_cold_c: float | None = None


@dataclass(frozen=True)
class Signed:
    """A limit lifted by vet and lead together, for the whole exhibit or for one bird, and why."""

    ruled: str
    reason: str
    bird: int | None = None


@dataclass(frozen=True)
class Session:
    """One catch-up of one exhibit.

    `high_c`, `low_c`: the forecast somebody wrote down, `None` where nobody did. `chase_minutes`: how long
    catching itself is expected to take. `nests`: the nests or broods that forbid it, in words.
    """

    day: date
    starts_hour: float
    high_c: float | None
    chase_minutes: float
    nests: tuple[str, ...] = ()
    signed: tuple[Signed, ...] = ()
    low_c: float | None = None


def limits_in_words(limits: CatchLimits) -> str:
    """The vet's limits in one sentence, as a list for the day says them.

    Source:
        The limits are the vet's; docs/science/catch-up.md.
    """
    cold = "" if limits.too_cold_c is None else f"; nobody below {limits.too_cold_c:g} °C"
    return (
        f"At most {limits.minutes:g} minutes from the start; from {limits.too_hot_c:g} °C over by "
        f"{limits.until_hour:02.0f}:00{cold}."
    )


def minutes_allowed(session: Session, limits: CatchLimits) -> float:
    """Minutes from the start of catching: the vet's, cut short by the hour when it is or may get hot.

    Source:
        The limits are the vet's; a day without a forecast as a hot one: ours. docs/science/catch-up.md.
    """
    if _cool(session, limits) or lifted(session, HEAT):
        return limits.minutes
    return max(0.0, min(limits.minutes, 60.0 * (limits.until_hour - session.starts_hour)))


def lifted(session: Session, ruled: str, bird: int | None = None) -> bool:
    """Whether vet and lead lifted a limit for the whole exhibit, or for this bird."""
    return any(signed.ruled == ruled and signed.bird in (None, bird) for signed in session.signed)


def forbidding(session: Session, limits: CatchLimits) -> tuple[str, ...]:
    """What forbids the whole session, a sentence each; empty where nothing does.

    Assumes:
        The coldest of the day is the forecast low, or the high where nobody wrote a low: a catch begins at
        dawn, when it is coldest. A day without any forecast is taken for a hot one and not for a cold one.

    Source:
        Chases that kill by heat and length: Vera Guzman et al. 2024 (from memory); cold: common practice.
        docs/science/catch-up.md, docs/science/cautions.md.
    """
    return tuple(sentence for _, sentence in forbids(session, limits))


def forbids(session: Session, limits: CatchLimits) -> tuple[tuple[str, str], ...]:
    """As `forbidding`, each sentence with the word of the limit before it.

    Source:
        As `forbidding`; docs/science/catch-up.md.
    """
    told = []
    if session.nests and not lifted(session, NEST):
        told.append((NEST, f"A nest or brood forbids catching: {', '.join(session.nests)}."))
    coldest = session.high_c if session.low_c is None else session.low_c
    limit = limits.too_cold_c
    if limit is not None and coldest is not None and coldest < limit and not lifted(session, COLD):
        words = f"Too cold: {coldest:.0f} °C is forecast, and nobody is caught below {limit:.0f} °C."
        told.append((COLD, words))
    if minutes_allowed(session, limits) <= session.chase_minutes:
        warm = "no forecast is written" if session.high_c is None else f"{session.high_c:.0f} °C is forecast"
        words = f"Too late in the day: {warm}, and a catch is over by {limits.until_hour:02.0f}:00."
        told.append((HEAT, words))
    return tuple(told)


def resting_until(session: Session, limits: CatchLimits, last: date, rest_days: int | None) -> date | None:
    """The day until which a bird rests after its last handling; `None` where it may be caught.

    Args:
        session: the day in question.
        limits: the vet's, for species without their own.
        last: the day on which it was last in hand.
        rest_days: of its species, `None` where the session's limits hold.

    Source:
        Rest days are the vet's; docs/science/catch-up.md.
    """
    ready = last + timedelta(days=limits.rest_days if rest_days is None else rest_days)
    return ready if session.day < ready else None


def _cool(session: Session, limits: CatchLimits) -> bool:
    return session.high_c is not None and session.high_c < limits.too_hot_c
