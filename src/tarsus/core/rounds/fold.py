"""From what was told to the roll calls as they stand: the one place where that is worked out.

Today, the exhibit's page, a bird's strip, the watch, the pack and late facts ask this fold; the phone's
copy is `web/static/shared/calls.js`, and both pass the cases of `tests/published/round_cases.json`.

Decision 0021.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, tzinfo

from tarsus.core.rounds.call import InView, RollCall, likely_among
from tarsus.core.rounds.counting import counts_standing
from tarsus.core.rounds.facts import Fact, FactId, Grouped, in_time
from tarsus.core.rounds.span import FIRMER, GroupState, RoundSpan, RoundTold, groups_of, span_of
from tarsus.core.rounds.standing import standing_facts


def roll_calls(facts: Iterable[Fact], zone: tzinfo, now: datetime) -> tuple[RollCall, ...]:
    """Fold what was told of the rounds of one exhibit to its roll calls.

    Rounds of one day that were open at the same time, directly or through others, are one roll call. A
    round that was left open is not joined on another day, nor later on its own than `STALE_HOURS` after it
    began.

    Args:
        facts: of one exhibit, in any order, told once or often; sightings outside any round are passed over.
        zone: the park's.
        now: the moment of asking.

    Returns:
        The calls, in the order in which they were begun.
    """
    rounds: dict[FactId, RoundTold] = {}
    for fact in standing_facts(facts).values():
        if fact.round is None:
            continue
        told = rounds.get(fact.round)
        if told is None:
            told = rounds[fact.round] = RoundTold(fact.round)
        told.take_in(fact)
    spans = {round_id: span_of(told, zone, now) for round_id, told in rounds.items()}
    return tuple(_call([(rounds[one.round], one) for one in together]) for together in joined(spans.values()))


def to_join(calls: Iterable[RollCall]) -> FactId | None:
    """The round in which to go on: of those that are open the one that was begun first, if any is."""
    spans = [span for call in calls for span in call.rounds if span.phase == "open"]
    return min(spans, key=_begun).round if spans else None


def joined(spans: Iterable[RoundSpan]) -> list[list[RoundSpan]]:
    """Set the rounds of one exhibit out by roll call: those of a day whose open spells meet are together."""
    days: dict[date, list[RoundSpan]] = defaultdict(list)
    for span in spans:
        days[span.day].append(span)
    calls = [call for day in days.values() for call in _joined_on_a_day(day)]
    ordered = [sorted(call, key=_begun) for call in calls]
    return sorted(ordered, key=lambda call: _begun(call[0]))


def _begun(span: RoundSpan) -> tuple[datetime, FactId]:
    return span.begun_at, span.round


def _joined_on_a_day(spans: list[RoundSpan]) -> list[list[RoundSpan]]:
    """Sweep through the spells by beginning; a round with several spells joins what each of them met."""
    spells = sorted((begin, end, at) for at, span in enumerate(spans) for begin, end in span.spells)
    call_of = list(range(len(spans)))

    def root(at: int) -> int:
        while call_of[at] != at:
            call_of[at] = call_of[call_of[at]]
            at = call_of[at]
        return at

    latest, with_whom = spells[0][1], spells[0][2]
    for begin, end, at in spells:
        if begin <= latest:
            call_of[root(at)] = root(with_whom)
        latest, with_whom = (max(latest, end), with_whom) if begin <= latest else (end, at)
    calls: dict[int, list[RoundSpan]] = defaultdict(list)
    for at, span in enumerate(spans):
        calls[root(at)].append(span)
    return list(calls.values())


def _call(rounds: list[tuple[RoundTold, RoundSpan]]) -> RollCall:
    observed = frozenset(bird for told, _ in rounds for bird in told.observed)
    return RollCall(
        rounds=tuple(span for _, span in rounds),
        groups=_groups(rounds),
        counts=counts_standing(count for told, _ in rounds for count in told.counts),
        in_view=_in_view(group for told, _ in rounds for group in told.groups),
        sightings=tuple(sorted((seen for told, _ in rounds for seen in told.sightings), key=in_time)),
        observed=observed,
        likely=likely_among((seen for told, _ in rounds for seen in told.unsure), observed),
    )


def _groups(rounds: list[tuple[RoundTold, RoundSpan]]) -> dict[str, tuple[GroupState, str]]:
    found: dict[str, tuple[GroupState, str]] = {}
    for told, span in rounds:
        for lookalike, (state, because) in groups_of(told, span).items():
            if FIRMER[state] > FIRMER[found.get(lookalike, ("not called", ""))[0]]:
                found[lookalike] = (state, because)
    return found


def _in_view(groups: Iterable[Grouped]) -> tuple[InView, ...]:
    """Of each group its latest size and place; birds that flew once have flown, whatever is told later."""
    found: dict[FactId, InView] = {}
    for fact in sorted(groups, key=in_time):
        before = found.get(fact.group)
        found[fact.group] = InView(
            group=fact.group,
            round=fact.round,
            size=fact.size,
            place=fact.place,
            flew=fact.flew or (before is not None and before.flew),
            at=before.at if before else fact.happened_at,
            by=before.by if before else fact.by,
        )
    return tuple(sorted(found.values(), key=lambda view: (view.at, view.group)))
