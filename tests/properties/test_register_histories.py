"""Over random histories of deeds, mistakes taken back among them, the register never contradicts itself."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from tarsus.actions.birds.coming_going import arrive, depart, name_carcase, record_death
from tarsus.actions.birds.missing import record_whereabouts
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.telling import Told
from tarsus.core.errors import TarsusError
from tarsus.queries.flock import flock_of, roll_of
from tarsus.queries.inventory import inventory_between
from tarsus.records import models as rows
from wendlebrook import FLOCK, Wendlebrook, build

BEGUN = date(2026, 6, 1)
DAYS = 10
NAMES = [name for name, *_ in FLOCK][:4]
STATES = ("missing", "escaped", "found again", "presumed dead")
DEEDS = ("move", "move", "depart", "arrive", "die", "carcase", "name", *STATES, "withdraw", "withdraw")

deed = st.tuples(st.integers(0, DAYS - 1), st.sampled_from(DEEDS), st.sampled_from(NAMES), st.integers(0, 30))


class Histories(TestCase):
    park: Wendlebrook

    @classmethod
    def setUpTestData(cls) -> None:
        cls.park = build()

    def carry_out(self, what: str, name: str, number: int, told: Told, done: list[tuple[str, UUID]]) -> None:
        park, bird = self.park, self.park[name]
        home = (park.shingle, park.reed)[number % 2]
        if what == "move":
            move_birds(told=told, to_exhibit_id=home, came=[bird])
        elif what == "depart":
            depart(told=told, bird_id=bird, went_to="the south", stays_ours=number % 3 == 0)
        elif what == "arrive":
            arrive(told=told, bird_id=bird, came_from="the south", exhibit_id=home)
        elif what == "die":
            record_death(told=told, exhibit_id=home, found_by="Oswin", bird_id=bird)
        elif what == "carcase":
            record_death(told=told, exhibit_id=home, found_by="Oswin", species_id=park.avocet)
        elif what == "name":
            carcases = [fact for kind, fact in done if kind == "carcase"]
            if carcases:
                carcase = carcases[number % len(carcases)]
                name_carcase(told=told, death_id=carcase, bird_id=bird, because="not seen since")
        elif what == "withdraw" and done:
            withdraw(told=told, fact_id=done[number % len(done)][1], because="a mistake")
        elif what in STATES:
            record_whereabouts(told=told, bird_id=bird, state=what, exhibit_id=home)

    @settings(
        max_examples=15,
        derandomize=True,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
        phases=[Phase.explicit, Phase.reuse, Phase.generate],  # shrinking a history takes minutes
    )
    @given(st.lists(deed, min_size=6, max_size=18))
    def test_the_register_never_contradicts_itself(self, deeds: list[tuple[int, str, str, int]]) -> None:
        done: list[tuple[str, UUID]] = []
        for order, (day, what, name, number) in enumerate(sorted(deeds, key=lambda one: one[0])):
            at = datetime(2026, 6, 1, 5, tzinfo=UTC) + timedelta(days=day, minutes=order)
            told = Told(by=self.park.actors.maren, at=at)
            try:
                self.carry_out(what, name, number, told, done)
            except TarsusError:
                continue  # what cannot be is refused; what was refused must have left no trace
            done.append((what, told.id))
        self.check_every_day()

    def check_every_day(self) -> None:
        homes = (self.park.shingle, self.park.reed)
        for number in range(DAYS):
            on = BEGUN + timedelta(days=number)
            flocks = {home: flock_of(home, on) for home in homes}
            lives = Counter(bird.name for flock in flocks.values() for bird in flock)
            assert all(times == 1 for times in lives.values()), (on, lives)
            counted = sum(bird.counted for flock in flocks.values() for bird in flock)
            lines = inventory_between(on, on).held
            assert all(line.balances for line in lines), on
            carcases = -sum(line.closing for line in lines if line.sex == "?")
            assert sum(line.closing for line in lines) == counted - carcases, on
            assert sum(sum(roll_of(home, on).values()) for home in homes) == counted - carcases, on
            for home in homes:
                part = inventory_between(on, on, exhibits=[home]).held
                assert all(line.balances for line in part), on
                assert sum(line.closing for line in part) == sum(roll_of(home, on).values()), (on, home)
        whole = inventory_between(BEGUN, BEGUN + timedelta(days=DAYS - 1))
        assert all(line.balances for line in (*whole.held, *whole.owned))
        open_stays = rows.Stay.objects.filter(to_on__isnull=True, taken_back_at__isnull=True)
        assert len({stay.bird_id for stay in open_stays}) == len(open_stays)
