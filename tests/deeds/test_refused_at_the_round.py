"""What cannot be in a roll call is refused with its field and a sentence; the ends of what may be are not."""

from __future__ import annotations

from uuid import UUID

import pytest

from refusing import Case, Small, each, refused, told
from tarsus.actions.birds.identity import note_natural_mark, part_pair, review_natural_mark
from tarsus.actions.birds.missing import begin_not_looked_for, end_not_looked_for
from tarsus.actions.care.treatment import record_body_condition
from tarsus.actions.care.weighing import record_health_check, record_weighing
from tarsus.actions.forecast import note_forecast
from tarsus.actions.nests import end_nest, record_nest_event
from tarsus.actions.roll_call.reports import answer_report, record_report
from tarsus.actions.roll_call.rounds import give_round_up, record_count, record_group, start_round, tell_light
from tarsus.actions.roll_call.set_aside import set_aside
from tarsus.actions.roll_call.sightings import WhatTheModelSaid, record_concern, record_sighting
from tarsus.core.marks.marks import Reading
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NOBODY = UUID(int=5)

FACTS: tuple[Case, ...] = (
    (start_round, lambda s: {"round_id": NOBODY, "exhibit_id": -1}, "exhibit: no exhibit -1"),
    (tell_light, lambda s: {"round_id": NOBODY, "light": "sun"}, f"round: no round {NOBODY} is known"),
    (
        give_round_up,
        lambda s: {"round_id": NOBODY, "exhibit_id": -1, "because": "x"},
        "exhibit: no exhibit -1",
    ),
    (
        give_round_up,
        lambda s: {"round_id": s.round, "exhibit_id": s.park.shingle, "because": " "},
        "because: is empty; say why the round was not done",
    ),
    (record_count, lambda s: {"round_id": NOBODY, "lookalike": "ruff", "counted": 1}, "round: no round "),
    (
        record_count,
        lambda s: {"round_id": s.round, "lookalike": "ruff", "counted": -1},
        "counted: -1 is less than none; count again",
    ),
    (record_group, lambda s: {"round_id": NOBODY, "group": NOBODY, "size": 2}, "round: no round "),
    (
        record_sighting,
        lambda s: {"exhibit_id": -1, "how": "by sight", "bird_id": s.kelp},
        "exhibit: no exhibit -1",
    ),
    (
        record_sighting,
        lambda s: {"exhibit_id": s.park.shingle, "how": "by ear", "bird_id": s.kelp},
        "how: 'by ear' is no way of naming a bird",
    ),
    (
        record_sighting,
        lambda s: {"exhibit_id": s.park.shingle, "how": "part reading", "bird_id": s.kelp},
        "how: 'part reading' is no way of naming a bird",
    ),
    (
        record_sighting,
        lambda s: {"exhibit_id": s.park.shingle, "how": None, "bird_id": s.kelp},
        "how: is missing; say whether the bird was named by sight or by reading",
    ),
    (
        record_sighting,
        lambda s: {"exhibit_id": s.park.shingle, "how": "by sight"},
        "bird: is missing; a sighting named 'by sight' names a bird",
    ),
    (
        record_sighting,
        lambda s: {"exhibit_id": s.park.shingle, "how": "by reading", "bird_id": s.kelp},
        "reading: is missing; give what was read, or say that it was named by sight",
    ),
    (
        record_sighting,
        lambda s: {
            "exhibit_id": s.park.shingle,
            "how": "inferred",
            "bird_id": s.kelp,
            "said": WhatTheModelSaid(((s.park["Dock"], 0.99),)),
        },
        "candidates: does not name bird ",
    ),
    (
        record_sighting,
        lambda s: {"exhibit_id": s.park.shingle, "how": "by sight", "bird_id": -1},
        "bird: no bird -1",
    ),
    (
        record_sighting,
        lambda s: {
            "exhibit_id": s.park.shingle,
            "how": "by sight",
            "bird_id": s.kelp,
            "place_id": s.park.reed_perch,
        },
        "place: no place of this exhibit ",
    ),
    (
        record_sighting,
        lambda s: {
            "exhibit_id": s.park.reed,
            "how": "by sight",
            "bird_id": s.kelp,
            "round_id": s.round,
        },
        "exhibit: round ",
    ),
    (
        record_concern,
        lambda s: {"bird_ids": [], "seen": ["lame"]},
        "birds: is empty; name the bird, or all that it may have been",
    ),
    (
        record_concern,
        lambda s: {"bird_ids": [s.kelp], "seen": [], "note": " "},
        "seen: is empty; say what was seen, or write a note",
    ),
    (record_concern, lambda s: {"bird_ids": [s.kelp, -1, -2], "seen": ["lame"]}, "birds: no bird -2"),
    (
        record_concern,
        lambda s: {"bird_ids": [s.kelp], "seen": ["lame"], "sighting_id": NOBODY},
        f"sighting: no sighting {NOBODY} is known here; send it first",
    ),
    (
        record_report,
        lambda s: {"said": " "},
        "said: is empty; write down what was told, where and when",
    ),
    (record_report, lambda s: {"said": "x", "exhibit_id": -1}, "exhibit: no exhibit -1"),
    (
        record_report,
        lambda s: {"said": "x", "place_id": s.park.north_spit},
        "exhibit: is missing; a place is a place of an exhibit",
    ),
    (record_report, lambda s: {"said": "x", "bird_ids": [-1, s.kelp, -2]}, "birds: no bird -2"),
    (
        answer_report,
        lambda s: {"report_id": NOBODY, "found": " "},
        "found: is empty; say what the look found, or that nothing was there",
    ),
    (
        answer_report,
        lambda s: {"report_id": NOBODY, "found": "x"},
        f"report: no report {NOBODY} is known here; send it first",
    ),
    (
        set_aside,
        lambda s: {"waiting": NOBODY, "because": " "},
        "because: is empty; say what became of it",
    ),
    (
        set_aside,
        lambda s: {"waiting": NOBODY, "because": "x"},
        "waiting: no fact waits under this id; it is written by now",
    ),
)


@each(FACTS)
def test_a_fact_that_cannot_be_is_refused_in_its_own_words(park: Wendlebrook, case: Case) -> None:
    refused(park, case, "told")


def test_the_ends_of_what_may_be_are_allowed(park: Wendlebrook) -> None:
    small = Small(park)
    by, kelp = small.by, small.kelp
    assert record_weighing(told=told(by), bird_id=kelp, weight_g=200_000, where="in hand")
    assert record_weighing(told=told(by), bird_id=kelp, weight_g=0.5, where="in hand")
    assert note_forecast(told=told(by), for_day=DAY, high_c=55, low_c=55)
    assert note_forecast(told=told(by), for_day=DAY, high_c=-40)
    assert note_natural_mark(bird_id=kelp, text="x", on=DAY, by=by, x=0, y=100, review_on=DAY)
    assert review_natural_mark(mark_id=small.mark, on=DAY, by=by, still_there=False, next_on=None) is None
    assert record_nest_event(told=told(by), nest_id=small.nest, kind="eggs", amount=0)
    assert record_count(told=told(by), round_id=small.round, lookalike="ruff", counted=0)
    assert begin_not_looked_for(why="moult", from_on=DAY, to_on=DAY, by=by, bird_id=kelp)
    end_not_looked_for(spell_id=small.spell, on=DAY, by=by)
    assert rows.NotLookedFor.objects.get(pk=small.spell).to_on == DAY
    assert part_pair(pair_id=small.pair, on=DAY, why="quarrels", by=by)
    assert end_nest(nest_id=small.nest, on=DAY, by=by)
    assert record_body_condition(told=told(by), bird_id=kelp, score=1)
    assert record_body_condition(told=told(by), bird_id=kelp, score=5)
    assert record_health_check(told=told(by), bird_id=kelp, well=True)
    reading = Reading.of({"left tibia": ["metal"]})
    assert record_sighting(told=told(by), exhibit_id=park.shingle, how=None, reading=reading)
