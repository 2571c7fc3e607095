"""What cannot be in care and at a nest is refused with its field and a sentence."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

import pytest

from phones import SEVEN
from refusing import Case, each, refused
from tarsus.actions.care.cases import close_case, note_in_case, open_case, write_note
from tarsus.actions.care.catch_up import drop_catch_up, finish_catch_up, keep_catch_up, tell_not_handled
from tarsus.actions.care.handling import InHand, record_handling
from tarsus.actions.care.treatment import (
    end_treatment,
    instruct,
    order_treatment,
    recheck_treatment,
    record_body_condition,
)
from tarsus.actions.care.weighing import check_next_day, record_health_check, record_weighing
from tarsus.actions.forecast import note_forecast
from tarsus.actions.nests import begin_nest, bird_from_nest, end_nest, record_nest_event
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NOBODY = UUID(int=5)
YESTERDAY = DAY - timedelta(days=1)

FACTS: tuple[Case, ...] = (
    (note_in_case, lambda s: {"case_id": -1, "text": "x"}, "case: no case -1"),
    (note_in_case, lambda s: {"case_id": s.case, "text": " "}, "text: is empty; write something"),
    (note_in_case, lambda s: {"case_id": s.closed, "text": "x"}, "case: it is closed since "),
    (write_note, lambda s: {"text": " ", "bird_id": s.kelp}, "text: is empty; write something"),
    (write_note, lambda s: {"text": "x"}, "bird: is missing; say what the note is about"),
    (write_note, lambda s: {"text": "x", "bird_id": -1}, "bird: no bird -1"),
    (write_note, lambda s: {"text": "x", "exhibit_id": -1}, "exhibit: no exhibit -1"),
    (write_note, lambda s: {"text": "x", "round_id": NOBODY}, f"round: no round {NOBODY} is known here"),
    (
        tell_not_handled,
        lambda s: {"catch_up_id": -1, "bird_id": s.kelp, "outcome": "not caught", "because": "x"},
        "catch_up: no ",
    ),
    (
        tell_not_handled,
        lambda s: {"catch_up_id": s.plan, "bird_id": -1, "outcome": "not caught", "because": "x"},
        "bird: no bird -1",
    ),
    (
        tell_not_handled,
        lambda s: {"catch_up_id": s.plan, "bird_id": s.park["Dock"], "outcome": "not caught", "because": "x"},
        "bird: Dock is not in this catch-up; choose one that is",
    ),
    (
        tell_not_handled,
        lambda s: {"catch_up_id": s.plan, "bird_id": s.kelp, "outcome": "fled", "because": "x"},
        "outcome: 'fled' is no outcome",
    ),
    (
        tell_not_handled,
        lambda s: {"catch_up_id": s.plan, "bird_id": s.kelp, "outcome": "not caught", "because": " "},
        "because: is empty; say why it was not handled",
    ),
    (record_handling, lambda s: {"bird_id": -1, "in_hand": InHand("weigh")}, "bird: no bird -1"),
    (
        record_handling,
        lambda s: {"bird_id": s.kelp, "in_hand": InHand(" ")},
        "why: is empty; say why it was in hand",
    ),
    (
        record_handling,
        lambda s: {"bird_id": s.kelp, "in_hand": InHand("weigh", bands=[(-1, ("good",))])},
        "bands: no band -1",
    ),
    (
        record_handling,
        lambda s: {
            "bird_id": s.kelp,
            "in_hand": InHand("weigh", bands=[(s.park.metals["Sedge"], ("good",))]),
        },
        "bands: band ",
    ),
    (
        record_handling,
        lambda s: {
            "bird_id": s.kelp,
            "in_hand": InHand("weigh", taken_off=[(s.park.metals["Sedge"], "lost")]),
        },
        "taken_off: band ",
    ),
    (instruct, lambda s: {"case_id": -1, "text": "x"}, "case: no case -1"),
    (
        instruct,
        lambda s: {"case_id": s.case, "text": " "},
        "text: is empty; say what the keepers are to do",
    ),
    (record_body_condition, lambda s: {"bird_id": -1, "score": 3}, "bird: no bird -1"),
    (
        record_body_condition,
        lambda s: {"bird_id": s.kelp, "score": 0},
        "score: 0 is not on the park's scale; write 1, very thin, to 5",
    ),
    (order_treatment, lambda s: {"bird_id": -1, "what": "x"}, "bird: no bird -1"),
    (
        order_treatment,
        lambda s: {"bird_id": s.kelp, "what": " "},
        "what: is empty; say what is given or done",
    ),
    (
        order_treatment,
        lambda s: {"bird_id": s.kelp, "what": "x", "recheck_days": 2},
        "rechecks: is missing; say every how many days and how many times, or neither",
    ),
    (order_treatment, lambda s: {"bird_id": s.kelp, "what": "x", "case_id": -1}, "case: no case -1"),
    (
        order_treatment,
        lambda s: {"bird_id": s.park["Dock"], "what": "x", "case_id": s.case},
        "case: is not about Dock; choose another case, or none",
    ),
    (
        recheck_treatment,
        lambda s: {"treatment_id": NOBODY, "note": "x"},
        f"treatment: no treatment {NOBODY} is known here; send it first",
    ),
    (
        end_treatment,
        lambda s: {"treatment_id": NOBODY, "because": "x"},
        f"treatment: no treatment {NOBODY} is known here; send it first",
    ),
    (
        record_weighing,
        lambda s: {"bird_id": -1, "weight_g": 300, "where": "in hand"},
        "bird: no bird -1",
    ),
    (
        record_weighing,
        lambda s: {"bird_id": s.kelp, "weight_g": 300, "where": "on the roof"},
        "where: 'on the roof' is no way of weighing",
    ),
    (
        record_weighing,
        lambda s: {"bird_id": s.kelp, "weight_g": 0, "where": "in hand"},
        "weight_g: 0 g is no bird's weight; give grams",
    ),
    (
        record_weighing,
        lambda s: {"bird_id": s.kelp, "weight_g": 200_001, "where": "in hand"},
        "weight_g: 200001 g is no bird's weight; give grams",
    ),
    (record_health_check, lambda s: {"bird_id": -1, "well": True}, "bird: no bird -1"),
    (
        record_health_check,
        lambda s: {"bird_id": s.kelp, "well": False, "found": " "},
        "found: is empty; say what was found",
    ),
    (check_next_day, lambda s: {"handling_id": NOBODY, "well": True}, "handling: no handling "),
    (
        note_forecast,
        lambda s: {"for_day": DAY, "high_c": 56},
        "high_c: 56 °C is no weather; write between -40 and 55",
    ),
    (note_forecast, lambda s: {"for_day": DAY, "high_c": -41}, "high_c: -41 °C is no weather"),
    (
        note_forecast,
        lambda s: {"for_day": DAY, "high_c": 20, "low_c": 20.5},
        "low_c: 20.5 °C is above the highest, 20 °C; exchange them",
    ),
    (record_nest_event, lambda s: {"nest_id": -1, "kind": "eggs", "amount": 1}, "nest: no nest -1"),
    (
        record_nest_event,
        lambda s: {"nest_id": s.nest, "kind": "song", "amount": 1},
        "kind: 'song' is no event at a nest",
    ),
    (
        record_nest_event,
        lambda s: {"nest_id": s.nest, "kind": "banded"},
        "bird: is missing; say which bird the chick became",
    ),
    (record_nest_event, lambda s: {"nest_id": s.nest, "kind": "banded", "bird_id": -1}, "bird: no bird -1"),
    (
        record_nest_event,
        lambda s: {"nest_id": s.nest, "kind": "eggs", "amount": -1},
        "amount: -1 is less than none; count again",
    ),
    (bird_from_nest, lambda s: {"nest_id": -1}, "nest: no nest -1"),
)
SPELLS: tuple[Case, ...] = (
    (
        open_case,
        lambda s: {"about": " ", "bird_ids": [s.kelp], "at": SEVEN},
        "about: is empty; say what the case is about",
    ),
    (
        open_case,
        lambda s: {"about": "lame", "bird_ids": [], "at": SEVEN},
        "birds: is empty; name the bird, or all that it may be",
    ),
    (open_case, lambda s: {"about": "lame", "bird_ids": [-1], "at": SEVEN}, "birds: no bird -1"),
    (close_case, lambda s: {"case_id": -1, "because": "x"}, "case: no case -1"),
    (close_case, lambda s: {"case_id": s.case, "because": " "}, "because: is empty; say how it ended"),
    (
        keep_catch_up,
        lambda s: {"exhibit_id": -1, "planned_for": DAY, "chosen": {s.kelp: []}, "limits": {}},
        "exhibit: no exhibit -1",
    ),
    (
        keep_catch_up,
        lambda s: {"exhibit_id": s.park.reed, "planned_for": DAY, "chosen": {}, "limits": {}},
        "birds: names nobody; a catch-up is kept for at least one bird",
    ),
    (
        keep_catch_up,
        lambda s: {"exhibit_id": s.park.reed, "planned_for": DAY, "chosen": {-1: []}, "limits": {}},
        "bird: no bird -1",
    ),
    (drop_catch_up, lambda s: {"catch_up_id": -1}, "catch_up: no "),
    (finish_catch_up, lambda s: {"catch_up_id": -1}, "catch_up: no "),
    (
        finish_catch_up,
        lambda s: {"catch_up_id": s.dropped},
        "catch_up: it was dropped; keep a plan anew",
    ),
    (
        begin_nest,
        lambda s: {"exhibit_id": -1, "species_id": s.park.ruff, "name": "n", "from_on": DAY},
        "exhibit: no exhibit -1",
    ),
    (
        begin_nest,
        lambda s: {"exhibit_id": s.park.reed, "species_id": -1, "name": "n", "from_on": DAY},
        "species: no species -1",
    ),
    (
        begin_nest,
        lambda s: {"exhibit_id": s.park.reed, "species_id": s.park.ruff, "name": " ", "from_on": DAY},
        "name: is empty; call the nest something",
    ),
    (
        begin_nest,
        lambda s: {
            "exhibit_id": s.park.reed,
            "species_id": s.park.ruff,
            "name": "n",
            "from_on": DAY,
            "place_id": s.park.north_spit,
        },
        "place: no place of this exhibit ",
    ),
    (
        begin_nest,
        lambda s: {
            "exhibit_id": s.park.reed,
            "species_id": s.park.ruff,
            "name": "n",
            "from_on": DAY,
            "pair_id": -1,
        },
        "pair: no pair -1",
    ),
    (end_nest, lambda s: {"nest_id": -1, "on": DAY}, "nest: no nest -1"),
    (
        end_nest,
        lambda s: {"nest_id": s.nest, "on": YESTERDAY},
        f"on: {YESTERDAY} is before it was begun ({DAY}); choose a later day",
    ),
)


@each(FACTS)
def test_a_fact_that_cannot_be_is_refused_in_its_own_words(park: Wendlebrook, case: Case) -> None:
    refused(park, case, "told")


@each(SPELLS)
def test_what_lasts_and_cannot_be_is_refused_in_its_own_words(park: Wendlebrook, case: Case) -> None:
    refused(park, case, "by")
