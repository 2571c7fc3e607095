"""What cannot be of a bird, its coming and its going is refused with its field and a sentence."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

import pytest

from refusing import Case, each, refused
from tarsus.actions.birds.coming_going import (
    answer_post_mortem,
    arrive,
    change_owner,
    depart,
    name_carcase,
    record_death,
    release_from_quarantine,
)
from tarsus.actions.birds.identity import (
    give_transponder,
    note_natural_mark,
    pair_birds,
    part_pair,
    record_sex_finding,
    review_natural_mark,
    take_sex_sample,
)
from tarsus.actions.birds.missing import begin_not_looked_for, end_not_looked_for, record_whereabouts
from tarsus.actions.birds.moves import move_birds
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NOBODY = UUID(int=5)
YESTERDAY = DAY - timedelta(days=1)

FACTS: tuple[Case, ...] = (
    (take_sex_sample, lambda s: {"bird_id": -1, "sample": "feather", "label": "L"}, "bird: no bird -1"),
    (
        take_sex_sample,
        lambda s: {"bird_id": s.kelp, "sample": "toe", "label": "L"},
        "sample: 'toe' is no sample",
    ),
    (
        take_sex_sample,
        lambda s: {"bird_id": s.kelp, "sample": "feather", "label": " "},
        "label: is empty; write what stands on the tube",
    ),
    (
        take_sex_sample,
        lambda s: {"bird_id": s.kelp, "sample": "feather", "label": "L", "band_id": -1},
        "band: no band -1",
    ),
    (record_sex_finding, lambda s: {"bird_id": -1, "sex": "F", "known_by": "DNA"}, "bird: no bird -1"),
    (record_sex_finding, lambda s: {"bird_id": s.kelp, "sex": "X", "known_by": "DNA"}, "sex: 'X' is no sex"),
    (
        record_sex_finding,
        lambda s: {"bird_id": s.kelp, "sex": "F", "known_by": "guess"},
        "known_by: 'guess' is no way of knowing a sex",
    ),
    (
        record_sex_finding,
        lambda s: {"bird_id": s.kelp, "sex": "F", "known_by": "DNA", "test_id": NOBODY},
        "test: no ",
    ),
    (arrive, lambda s: {"bird_id": -1, "came_from": "x", "exhibit_id": s.park.reed}, "bird: no bird -1"),
    (arrive, lambda s: {"bird_id": s.kelp, "came_from": "x", "exhibit_id": -1}, "exhibit: no exhibit -1"),
    (
        arrive,
        lambda s: {"bird_id": s.kelp, "came_from": " ", "exhibit_id": s.park.reed},
        "came_from: is empty; say from where it came",
    ),
    (
        arrive,
        lambda s: {"bird_id": s.kelp, "came_from": "x", "exhibit_id": s.park.reed},
        "bird: Kelp lives in Shingle Aviary already; move it instead",
    ),
    (release_from_quarantine, lambda s: {"bird_id": -1}, "bird: no bird -1"),
    (depart, lambda s: {"bird_id": -1, "went_to": "x"}, "bird: no bird -1"),
    (depart, lambda s: {"bird_id": s.kelp, "went_to": " "}, "went_to: is empty; say where it went"),
    (change_owner, lambda s: {"bird_id": -1, "owner": "x", "holder": ""}, "bird: no bird -1"),
    (
        record_death,
        lambda s: {"exhibit_id": -1, "found_by": "T", "bird_id": s.kelp},
        "exhibit: no exhibit -1",
    ),
    (
        record_death,
        lambda s: {"exhibit_id": s.park.reed, "found_by": " ", "bird_id": s.kelp},
        "found_by: is empty; say who found it",
    ),
    (
        record_death,
        lambda s: {"exhibit_id": s.park.reed, "found_by": "T"},
        "species: is missing; name the bird, or at least its species",
    ),
    (
        record_death,
        lambda s: {"exhibit_id": s.park.reed, "found_by": "T", "species_id": -1},
        "species: no species -1",
    ),
    (name_carcase, lambda s: {"death_id": NOBODY, "bird_id": s.kelp, "because": "x"}, "death: no "),
    (name_carcase, lambda s: {"death_id": s.death, "bird_id": -1, "because": "x"}, "bird: no bird -1"),
    (
        name_carcase,
        lambda s: {"death_id": s.death, "bird_id": s.park["Dock"], "because": " "},
        "because: is empty; say how it became known",
    ),
    (
        name_carcase,
        lambda s: {"death_id": s.death, "bird_id": s.kelp, "because": "x"},
        "bird: Kelp is no Ruff; choose another bird",
    ),
    (answer_post_mortem, lambda s: {"death_id": NOBODY, "answer": "x"}, "death: no "),
    (
        answer_post_mortem,
        lambda s: {"death_id": s.death, "answer": " "},
        "answer: is empty; write what was found, or that nothing was",
    ),
    (record_whereabouts, lambda s: {"bird_id": -1, "state": "missing"}, "bird: no bird -1"),
    (record_whereabouts, lambda s: {"bird_id": s.kelp, "state": "asleep"}, "state: 'asleep' is no state"),
    (
        record_whereabouts,
        lambda s: {"bird_id": s.kelp, "state": "missing", "exhibit_id": -1},
        "exhibit: no exhibit -1",
    ),
    (
        record_whereabouts,
        lambda s: {"bird_id": s.kelp, "state": "found again"},
        "state: Kelp is not missing by the record already; nothing to write",
    ),
    (move_birds, lambda s: {"to_exhibit_id": -1, "came": [s.kelp]}, "to: no exhibit -1"),
    (move_birds, lambda s: {"to_exhibit_id": s.park.reed, "came": [-1]}, "came: no bird -1"),
    (
        move_birds,
        lambda s: {"to_exhibit_id": s.park.reed, "came": []},
        "came: is empty; name the birds that were moved",
    ),
    (
        move_birds,
        lambda s: {"to_exhibit_id": s.park.reed, "came": [s.kelp], "would_not": {s.kelp: ""}},
        "would_not: Kelp cannot both come and stay; choose one",
    ),
    (
        move_birds,
        lambda s: {"to_exhibit_id": s.park.reed, "came": [s.kelp], "would_not": {-1: ""}},
        "would_not: no bird -1",
    ),
    (
        move_birds,
        lambda s: {"to_exhibit_id": s.park.shingle, "came": [s.kelp]},
        "came: Kelp lives in Shingle Aviary already; leave it out",
    ),
    (
        move_birds,
        lambda s: {"to_exhibit_id": s.park.shingle, "came": [s.kelp], "from_exhibit_id": s.park.reed},
        "came: Kelp lives in Shingle Aviary, not where it is moved from; leave it out",
    ),
)
SPELLS: tuple[Case, ...] = (
    (give_transponder, lambda s: {"bird_id": -1, "number": "7", "on": DAY}, "bird: no bird -1"),
    (
        give_transponder,
        lambda s: {"bird_id": s.kelp, "number": "  ", "on": DAY},
        "number: is empty; read the transponder again",
    ),
    (note_natural_mark, lambda s: {"bird_id": -1, "text": "nick", "on": DAY}, "bird: no bird -1"),
    (
        note_natural_mark,
        lambda s: {"bird_id": s.kelp, "text": " ", "on": DAY},
        "text: is empty; say what is to be seen",
    ),
    (
        note_natural_mark,
        lambda s: {"bird_id": s.kelp, "text": "nick", "on": DAY, "x": -0.5},
        "x: -0.5 is off the drawing; give 0 to 100",
    ),
    (
        note_natural_mark,
        lambda s: {"bird_id": s.kelp, "text": "nick", "on": DAY, "y": 100.5},
        "y: 100.5 is off the drawing; give 0 to 100",
    ),
    (
        note_natural_mark,
        lambda s: {"bird_id": s.kelp, "text": "nick", "on": DAY, "review_on": YESTERDAY},
        f"review_on: {YESTERDAY} is before the mark was seen ({DAY}); choose a later day",
    ),
    (
        review_natural_mark,
        lambda s: {"mark_id": -1, "on": DAY, "still_there": True, "next_on": None},
        "natural mark: no ",
    ),
    (
        review_natural_mark,
        lambda s: {"mark_id": s.mark, "on": YESTERDAY, "still_there": True, "next_on": None},
        f"on: {YESTERDAY} is before the mark was seen ({DAY}); choose a later day",
    ),
    (
        pair_birds,
        lambda s: {"one": s.kelp, "other": s.kelp, "on": DAY},
        "other: is the same bird; choose its mate",
    ),
    (pair_birds, lambda s: {"one": -1, "other": s.kelp, "on": DAY}, "one: no bird -1"),
    (pair_birds, lambda s: {"one": s.kelp, "other": -1, "on": DAY}, "other: no bird -1"),
    (part_pair, lambda s: {"pair_id": -1, "on": DAY, "why": ""}, "pair: no pair -1"),
    (
        part_pair,
        lambda s: {"pair_id": s.pair, "on": YESTERDAY, "why": ""},
        f"on: {YESTERDAY} is before they paired ({DAY}); choose a later day",
    ),
    (
        begin_not_looked_for,
        lambda s: {"why": "whim", "from_on": DAY, "bird_id": s.kelp},
        "why: 'whim' is no reason",
    ),
    (
        begin_not_looked_for,
        lambda s: {"why": "moult", "from_on": DAY},
        "bird: name either one bird or one exhibit",
    ),
    (
        begin_not_looked_for,
        lambda s: {"why": "moult", "from_on": DAY, "bird_id": s.kelp, "exhibit_id": s.park.reed},
        "bird: name either one bird or one exhibit",
    ),
    (begin_not_looked_for, lambda s: {"why": "moult", "from_on": DAY, "bird_id": -1}, "bird: no bird -1"),
    (
        begin_not_looked_for,
        lambda s: {"why": "moult", "from_on": DAY, "exhibit_id": -1},
        "exhibit: no exhibit -1",
    ),
    (
        begin_not_looked_for,
        lambda s: {"why": "moult", "from_on": DAY, "to_on": YESTERDAY, "bird_id": s.kelp},
        f"to_on: {YESTERDAY} is before {DAY}; exchange them",
    ),
    (end_not_looked_for, lambda s: {"spell_id": -1, "on": DAY}, "spell: no "),
    (
        end_not_looked_for,
        lambda s: {"spell_id": s.spell, "on": YESTERDAY},
        f"on: {YESTERDAY} is before it began ({DAY}); choose a later day",
    ),
)


@each(FACTS)
def test_a_fact_that_cannot_be_is_refused_in_its_own_words(park: Wendlebrook, case: Case) -> None:
    refused(park, case, "told")


@each(SPELLS)
def test_what_lasts_and_cannot_be_is_refused_in_its_own_words(park: Wendlebrook, case: Case) -> None:
    refused(park, case, "by")
