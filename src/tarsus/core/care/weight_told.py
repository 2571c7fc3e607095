"""What a weight says: nothing, weigh again or tell the vet; one rule for command, duties, pages and phone.

Decision 0033.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tarsus.core.care.decline import Decline, Month, decline_until, months_before
from tarsus.core.care.weights import Reference, Weight, WeightLimits, reference_for, weighed_before
from tarsus.core.words.numbers import whole

NOTHING: Final = "nothing"
WEIGH_AGAIN: Final = "weigh again"
TELL_VET: Final = "tell the vet"

ROUNDING: Final = 1e-9
"""A bird exactly at a limit is at it, whatever a division leaves over, in per cent."""
_TOO_FEW: Final = "Too few weights yet for a usual one of its own."


@dataclass(frozen=True)
class Yardstick:
    """What the next weight of a bird is held against, known before it is taken.

    `side_before`: how the weighing before it lay: -1 out of bounds below, 1 above, 0 within or none.
    `before_g`: what it weighed before, where those weights are too few for a usual one; only a loss is held
    against it.
    """

    usual_g: float | None
    months: tuple[Month, ...] = ()
    side_before: int = 0
    before_g: float | None = None


@dataclass(frozen=True)
class Judged:
    """A weight against its yardstick. `side` as in `Yardstick`; `change_percent` from the usual weight."""

    prompt: str
    side: int
    change_percent: float | None
    sentence: str


@dataclass(frozen=True)
class WeightTold:
    """A weight with what it says, and the reference it was held against."""

    weight: Weight
    reference: Reference | None
    change_percent: float | None
    prompt: str
    side: int
    sentence: str


def judged(grams: float, moulting: bool, held_against: Yardstick, limits: WeightLimits) -> Judged:
    """Judge one weight.

    Args:
        grams: the weight.
        moulting: whether the bird is in moult.
        held_against: its usual weight, the months before, how the weighing before lay.
        limits: the vet's percentages and the species' range.

    Returns:
        *Weigh again* for a weight out of bounds; *tell the vet* (and weigh again) for one past the alarm
        percentage, and for the second of two consecutive ones out of bounds in the same direction, however
        long lies between them.

    Assumes:
        A bird in moult gains and loses by much (common practice): then only a loss past the alarm counts. A
        gain counts past the alarm only: a full crop or an egg is no illness. Against one or two weights a
        gain does not count: a chick grows.

    Source:
        Rules of ours on the vet's percentages; docs/science/weights.md.
    """
    usual = held_against.usual_g
    change = _percent(grams, usual)
    decline = None if moulting else decline_until(grams, held_against.months)
    fallen = 0.0 if decline is None else 100.0 * (grams / decline.began_g - 1.0)
    lost = _percent(grams, held_against.before_g) if change is None else change
    worst = min(lost or 0.0, fallen)
    low = limits.alarm_percent if moulting else limits.prompt_percent
    past_alarm = worst <= ROUNDING - limits.alarm_percent
    side = -1 if worst <= ROUNDING - low else 0
    if side == 0 and not moulting and change is not None and change >= limits.alarm_percent - ROUNDING:
        side, past_alarm = 1, True
    said = _in_words(grams, moulting, held_against, side, decline if fallen <= ROUNDING - low else None)
    if usual is None and side == 0 and (side := _side_of_range(grams, moulting, limits)):
        said = f"{whole(grams)} g: outside its species' range. {_TOO_FEW}"
    if side == 0:
        return Judged(NOTHING, side, change, said)
    if side == held_against.side_before:
        return Judged(TELL_VET, side, change, f"{said} It held on a second weighing: tell the vet today.")
    if past_alarm:
        return Judged(TELL_VET, side, change, f"{said} Tell the vet today, and weigh again.")
    return Judged(WEIGH_AGAIN, side, change, f"{said} Weigh again. If it holds, tell the vet today.")


def weights_told(
    weights: Sequence[Weight], limits: WeightLimits, last: int | None = None
) -> list[WeightTold]:
    """Judge a bird's weights, each by what was known when it was taken.

    Args:
        weights: all weighings of one bird, in any order.
        limits: the vet's percentages and the species' range.
        last: judge only so many, the latest.

    Returns:
        One answer a weighing, in order of time.

    Source:
        docs/science/weights.md.
    """
    in_order = sorted(weights, key=lambda weight: weight.at)
    told: list[WeightTold] = []
    begin = 0 if last is None else max(0, len(in_order) - last)
    # The one before the first that is asked for is judged as well: it may be confirmed.
    for at in range(max(0, begin - 1), len(in_order)):
        weight, earlier = in_order[at], in_order[:at]
        reference = reference_for(weight, earlier)
        side = told[-1].side if told else 0
        found = judged(weight.grams, weight.moulting, _yardstick(weight, earlier, reference, side), limits)
        told.append(
            WeightTold(weight, reference, found.change_percent, found.prompt, found.side, found.sentence)
        )
    return told[1:] if begin else told


def weigh_up(weights: Sequence[Weight], limits: WeightLimits) -> WeightTold | None:
    """Judge a bird's latest weight; `None` where there is none.

    Source:
        docs/science/weights.md.
    """
    return next(iter(weights_told(weights, limits, last=1)), None)


def yardstick(weight: Weight, earlier: Sequence[Weight], limits: WeightLimits) -> Yardstick:
    """What a weighing would be held against: for a phone that has to judge it without a connection.

    Args:
        weight: when and how it will be weighed; its grams do not count.
        earlier: the same bird's weighings, in any order.
        limits: the vet's percentages and the species' range.

    Source:
        docs/science/weights.md.
    """
    before = weigh_up(earlier, limits)
    side = 0 if before is None else before.side
    return _yardstick(weight, earlier, reference_for(weight, earlier), side)


def last_alarm(told: Sequence[WeightTold], since: date) -> WeightTold | None:
    """The latest weight for which the vet was to be told, whatever was weighed after it.

    A later weighing that is fine does not unsay it: the vet is told, and decides.

    Args:
        told: one bird's weights with what they say, as `weights_told` gives them.
        since: the first day to look at.

    Returns:
        What that weight said, `None` where no weight since then was an alarm.

    Source:
        docs/science/weights.md; an alarm stands until the vet is told: common practice.
    """
    lately = (one for one in reversed(told) if one.weight.at.date() >= since)
    return next((one for one in lately if one.prompt == TELL_VET), None)


def _side_of_range(grams: float, moulting: bool, limits: WeightLimits) -> int:
    if limits.low_g is not None and grams < limits.low_g:
        return -1
    return int(limits.high_g is not None and grams > limits.high_g and not moulting)


def _yardstick(
    weight: Weight, earlier: Sequence[Weight], reference: Reference | None, side_before: int
) -> Yardstick:
    months = months_before(weight, earlier)
    if reference is None:
        return Yardstick(None, months, side_before, weighed_before(weight, earlier))
    return Yardstick(reference.usual_g, months, side_before)


def _percent(grams: float, against: float | None) -> float | None:
    return None if against is None else 100.0 * (grams / against - 1.0)


def _in_words(
    grams: float, moulting: bool, held_against: Yardstick, side: int, decline: Decline | None
) -> str:
    usual, before = held_against.usual_g, held_against.before_g
    if usual is None:
        lost = ""
        if side and before is not None and grams < before:
            fallen = whole(100.0 * (1.0 - grams / before))
            lost = f": {fallen} % under the {whole(before)} g it weighed before"
        return f"{whole(grams)} g{lost}. {_TOO_FEW}{_falling(grams, decline)}"
    change = whole(abs(100.0 * (grams / usual - 1.0)))
    lead = f"{change} % {'under' if grams < usual else 'over'} its own" if change else "At its own"
    moult = ", in moult: what is expected then is for the vet to say" if moulting and change else ""
    return f"{lead} usual {whole(usual)} g{moult}.{_falling(grams, decline)}"


def _falling(grams: float, decline: Decline | None) -> str:
    if decline is None:
        return ""
    fallen, months = whole(100.0 * (1.0 - grams / decline.began_g)), whole(decline.days / 30.4375)
    return f" Falling for {months} months: {fallen} % under the {whole(decline.began_g)} g it began with."
