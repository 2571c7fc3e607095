"""Roll calls out of what was told, against the published cases (each worked out by hand and by replay)."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from published_checks import published
from round_cases import Case, round_cases
from tarsus.core.rounds.call import RollCall
from tarsus.core.rounds.fold import roll_calls, to_join
from tarsus.core.rounds.span import STALE_HOURS
from tarsus.core.words.certainty import DOUBTFUL_BELOW

CASES = published("round_cases")
ALL = round_cases(CASES)


def plain(call: RollCall, case: Case) -> dict[str, Any]:
    answer = call.answer(case.roll)
    closings = [closing.id for span in call.rounds for closing in span.closings]
    return {
        "rounds": [span.round for span in call.rounds],
        "phase": call.phase,
        "begun": call.begun_at.isoformat(),
        "ended": call.ended_at and call.ended_at.isoformat(),
        "groups": {name: list(told) for name, told in sorted(call.groups.items())},
        "counts": {name: [[o.by, o.counted] for o in told.told] for name, told in call.counts.items()},
        "in_view": [
            {
                "group": v.group,
                "at": v.at.isoformat(),
                "by": v.by,
                "size": v.size,
                "place": v.place,
                "flew": v.flew,
            }
            for v in call.in_view
        ],
        "sightings": [seen.id for seen in call.sightings],
        "observed": sorted(call.observed),
        "doubtful": sorted(call.doubtful),
        "inferred": sorted(call.inferred),
        "likely": [[bird, pytest.approx(chance, abs=1e-12)] for bird, chance in call.likely.items()],
        "late": sorted(call.late),
        "closings": closings,
        "earlier": [closing.id for span in call.rounds for closing in span.earlier],
        "seen": list(answer.seen),
        "unseen": list(answer.unseen),
        "not_asked": list(answer.not_asked),
    }


@pytest.mark.parametrize("case", ALL, ids=[case.name for case in ALL])
def test_a_roll_call_stands_as_it_was_worked_out_by_hand(case: Case) -> None:
    calls = roll_calls(case.facts, case.zone, case.now)
    assert [plain(call, case) for call in calls] == case.calls
    assert to_join(calls) == case.join


def test_there_are_as_many_cases_as_were_asked_for_and_the_rules_are_the_same_on_both_sides() -> None:
    assert len(ALL) >= 60
    assert CASES["rules"] == {"stale_hours": STALE_HOURS, "doubtful_below": DOUBTFUL_BELOW}


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.data())
def test_facts_in_any_order_and_said_again_give_the_same_calls(data: st.DataObject) -> None:
    case = data.draw(st.sampled_from(ALL))
    order = data.draw(st.permutations(case.facts))
    again = data.draw(st.lists(st.sampled_from(case.facts), max_size=5)) if case.facts else []
    assert roll_calls([*order, *again], case.zone, case.now) == roll_calls(case.facts, case.zone, case.now)
