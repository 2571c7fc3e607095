"""Sightings as occurrences: the terms are the standard's, and a bird of a park is told as one."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from tarsus.tables.darwin_core import TERMS, Observed, occurrence

PUBLISHED = json.loads(Path(__file__).with_name("darwin_core_terms.json").read_text("utf-8"))
SEEN = Observed(
    id="5f2c7a7e-5a8e-4a3c-9d55-0f6a1d1d4e11",
    at=datetime(2026, 6, 11, 7, 41, tzinfo=ZoneInfo("Europe/London")),
    by="Tilda",
    bird=7,
    bird_name="Kelp",
    sex="M",
    species="Pied avocet",
    scientific_name="Recurvirostra avosetta",
    exhibit="Shingle Aviary",
    place="north spit",
    how="by reading",
    chance=0.978,
    round="11111111-5a8e-4a3c-9d55-0f6a1d1d4e11",
)


def test_every_heading_is_a_term_of_the_standard_in_its_order() -> None:
    # The source stands in the list itself.
    assert set(TERMS) <= set(PUBLISHED["terms"])
    assert list(TERMS) == sorted(TERMS, key=PUBLISHED["terms"].index)
    assert len(set(TERMS)) == len(TERMS)


def test_an_occurrence_says_who_saw_which_bird_when_and_where() -> None:
    told = dict(zip(TERMS, occurrence(SEEN, "Wendlebrook"), strict=True))
    assert told["occurrenceID"] == "urn:uuid:5f2c7a7e-5a8e-4a3c-9d55-0f6a1d1d4e11"
    assert told["eventID"] == "urn:uuid:11111111-5a8e-4a3c-9d55-0f6a1d1d4e11"
    # ISO 8601, with the park's own hour: seven minutes to eight by its summer clock.
    assert told["eventDate"] == "2026-06-11T07:41:00+01:00"
    assert (told["basisOfRecord"], told["occurrenceStatus"]) == ("HumanObservation", "present")
    assert (told["sex"], told["individualCount"]) == ("male", 1)
    assert told["locality"] == "Wendlebrook, Shingle Aviary, north spit"
    assert told["identificationRemarks"] == "named by reading, 98 % sure"
    assert told["occurrenceRemarks"] == "kept under human care in a park"
    assert told["scientificName"] == "Recurvirostra avosetta"
