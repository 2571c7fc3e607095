"""A park read back from its export is the same park, history and all."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from tarsus.actions.birds.coming_going import depart, record_death
from tarsus.actions.birds.identity import pair_birds, record_sex_finding
from tarsus.actions.birds.missing import record_whereabouts
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.bulk.exported import exported_rows
from tarsus.actions.bulk.reader import read_whole_park
from tarsus.actions.changes import note_changes
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.settings.species import save_species
from tarsus.actions.telling import Told
from tarsus.core.errors import TarsusError
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.sites import SITES
from tarsus.queries.exports import tables_held
from tarsus.queries.flock import flock_of, roll_of
from tarsus.records import models as rows
from tarsus.tables.writing import json_text
from wendlebrook import FLOCK, Wendlebrook, build

DAY = date(2026, 6, 12)
COLOURS = BUILT_IN.as_mapping()
NAMES = [name for name, *_ in FLOCK]
DEEDS = ("move", "depart", "die", "sex", "pair", "missing", "withdraw", "change", "sites")

deed = st.tuples(st.sampled_from(DEEDS), st.sampled_from(NAMES), st.integers(0, 30), st.text(max_size=8))


def exported() -> dict[str, Any]:
    document: dict[str, Any] = json.loads("".join(json_text(tables_held(DAY))))
    return document


class RoundTrips(TestCase):
    def carry_out(
        self, park: Wendlebrook, what: str, name: str, number: int, words: str, told: Told, done: list[UUID]
    ) -> None:
        bird, home = park[name], (park.shingle, park.reed)[number % 2]
        if what == "move":
            move_birds(told=told, to_exhibit_id=home, came=[bird], because=words)
        elif what == "depart":
            depart(told=told, bird_id=bird, went_to="the south")
        elif what == "die":
            record_death(told=told, exhibit_id=home, found_by="Oswin", bird_id=bird, circumstances=words)
        elif what == "sex":
            record_sex_finding(told=told, bird_id=bird, sex="FM"[number % 2], known_by="DNA")
        elif what == "pair":
            pair_birds(one=bird, other=park[NAMES[number % len(NAMES)]], on=date(2026, 6, 2), by=told.by)
        elif what == "missing":
            record_whereabouts(told=told, bird_id=bird, state="missing", exhibit_id=home)
        elif what == "sites":
            # Where a species may be banded, and in which colours never.
            sites = [site for at, site in enumerate(SITES) if number >> at & 1]
            values, species = {"sites": sites}, (park.avocet, park.ruff)[len(words) % 2]
            never = list(COLOURS)[: number % 3]
            save_species(by=told.by, values=values, excluded=never, species_id=species)
        elif what == "change":
            # What a settings row said before: a text, a number, a truth or nothing, each itself again.
            before = (words, number, number % 2 == 0, None, [words], {words: number})[number % 6]
            note_changes("species", number, {"x": before}, {"x": "1"}, told.by)
        elif done:
            withdraw(told=told, fact_id=done[number % len(done)], because="a mistake")

    @settings(
        max_examples=8,
        derandomize=True,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
        phases=[Phase.explicit, Phase.reuse, Phase.generate],
    )
    @given(st.lists(deed, min_size=4, max_size=14))
    def test_an_export_read_into_an_empty_register_is_the_same_park(
        self, deeds: list[tuple[str, str, int, str]]
    ) -> None:
        with transaction.atomic():
            park = build()
            done: list[UUID] = []
            for order, (what, name, number, words) in enumerate(deeds):
                at = datetime(2026, 6, 3, 5, tzinfo=UTC) + timedelta(hours=order)
                told = Told(by=park.actors.maren, at=at)
                try:
                    self.carry_out(park, what, name, number, words.replace("\0", ""), told, done)
                except TarsusError:
                    continue
                done.append(told.id)
            before = exported()
            sites = {row.name: row.sites for row in rows.Species.objects.all()}
            roll, flock = roll_of(park.shingle, DAY), flock_of(park.shingle, DAY)
            transaction.set_rollback(True)
        with transaction.atomic():
            assert not rows.Bird.objects.exists()
            read_whole_park(content=exported_rows(before))
            after = exported()
            assert after == before
            assert {row.name: row.sites for row in rows.Species.objects.all()} == sites
            assert (roll_of(park.shingle, DAY), flock_of(park.shingle, DAY)) == (roll, flock)
            assert not rows.Person.objects.get(pk=park.actors.maren).has_usable_password()
            assert (
                rows.Exhibit.objects.create(name="New").pk == max(row["id"] for row in before["exhibit"]) + 1
            )
            transaction.set_rollback(True)
