"""The invented park has photographs by a phone whose colours are strange, and the register finds that out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from itertools import islice
from zoneinfo import ZoneInfo

import pytest

from tarsus.actions.learning_cameras import learn_cameras
from tarsus.demo.frozen.photographs import DEVICE
from tarsus.demo.loaded import read_prepared
from tarsus.demo.species import AVOCET
from tarsus.demo.wendlebrook import part_of_park, small_park
from tarsus.queries.learned_cameras import learned_of_cameras
from tarsus.records.models import LearnedCamera, Photograph

TODAY = date(2026, 6, 11)
pytestmark = pytest.mark.django_db


def test_a_keeper_of_the_demo_sees_what_photographs_taught_of_their_phone() -> None:
    park = part_of_park(TODAY, (AVOCET,), days=70)
    park = replace(park, rounds=tuple(islice(park.rounds, 1)))
    keys = read_prepared(park)
    learn_cameras(datetime.combine(TODAY, time(0, 10), ZoneInfo(park.time_zone)))
    kept = LearnedCamera.objects.get(device=DEVICE).lesson
    assert kept["lessons"] == Photograph.objects.count() > 11, "each bird was in the hand soon after"
    assert kept["earned"]
    (told,) = learned_of_cameras(keys.people["tamsin"])
    assert told.sent == kept["lessons"]
    assert "trusted less" in told.changes


def test_nothing_is_photographed_before_the_first_roll_call() -> None:
    park = small_park(TODAY)
    read_prepared(replace(park, rounds=tuple(islice(park.rounds, 1))))
    assert not Photograph.objects.exists()
