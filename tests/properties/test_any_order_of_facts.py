"""Whatever order facts arrive in, however often, in whatever batches: the register ends in the same state."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from phones import NINE, SEVEN, Phone
from tarsus.actions.facts import hear_facts
from tarsus.queries.last_seen import last_seen, usual_places
from tarsus.queries.rounds import roll_call
from tarsus.records import models as rows
from wendlebrook import FLOCK, Wendlebrook, build

AVOCETS = [name for name, species, *_ in FLOCK if species == "avocet"]


def two_phones(park: Wendlebrook) -> tuple[list[dict[str, Any]], list[UUID]]:
    """What two phones without signal wrote down, corrections and a double closing among it."""
    tilda, oswin = Phone(park, park.actors.tilda), Phone(park, park.actors.oswin)
    oswin.minutes = 2
    rail = "6f0f9a52-3c1e-4d7e-9a55-2b8f5a0c7d11"
    kelp = tilda.sighting("Kelp", place=park.north_spit)
    lame = tilda.fact("concern", sighting=kelp["id"], birds=[park["Kelp"]], seen=["lame"], tell_vet=True)
    group = {"round": str(oswin.round), "group": rail, "place": park.south_pool}
    sedge = oswin.sighting("Sedge", group=rail, position=0)
    facts = [
        tilda.started(),
        tilda.count("avocet", 4),
        kelp,
        lame,
        tilda.inferred("Thrift", 0.9),
        tilda.count("avocet", 5),
        oswin.started(),
        oswin.fact("group", **group, size=2),
        sedge,
        oswin.sighting(None, None, reading={"left tibia": ["metal"]}, group=rail, position=1),
        oswin.fact("group", **group, size=3, flew=True),
        oswin.fact("withdrawn", corrects=sedge["id"], because="it was Samphire"),
        oswin.sighting("Samphire", group=rail, position=0, place=park.south_pool),
        tilda.fact("withdrawn", corrects=lame["id"], because="it was mud"),
        tilda.closed(),
        oswin.closed(),
        oswin.fact("handling", bird=park["Marram"], why="catch-up", weight_g=290),
    ]
    return facts, [tilda.round, oswin.round]


def state(park: Wendlebrook, rounds: list[UUID]) -> dict[str, Any]:
    """What the register answers, apart from when it heard things."""
    calls = [roll_call(one, NINE) for one in rounds]
    birds = [park[name] for name in AVOCETS]
    return {
        "observed": [call.observed for call in calls],
        "inferred": [call.inferred for call in calls],
        "counts": [
            [(one.lookalike, one.counted) for both in call.counts.values() for one in both.told]
            for call in calls
        ],
        "groups": [[(v.group, v.size, v.flew, v.place) for v in call.in_view] for call in calls],
        "sightings": [[(s.id, s.bird, s.how, s.happened_at) for s in call.sightings] for call in calls],
        "spans": [[(s.round, s.begun_at, s.ended_at) for s in call.rounds] for call in calls],
        "last": {bird: (seen.at, seen.place) for bird, seen in last_seen(birds).items()},
        "places": usual_places(park.shingle, SEVEN + timedelta(hours=3)),
        "weights": list(rows.Weighing.objects.values_list("bird_id", "weight_g")),
        "cases": list(rows.Case.objects.values_list("about", flat=True)),
        "waiting": rows.Waiting.objects.count(),
    }


class AnyOrder(TestCase):
    park: Wendlebrook

    @classmethod
    def setUpTestData(cls) -> None:
        cls.park = build()
        Phone(cls.park, cls.park.actors.tilda).handed_to(cls.park.actors.oswin)

    @settings(max_examples=20, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
    @given(st.data())
    def test_any_order_and_any_repetition_end_in_the_same_state(self, data: st.DataObject) -> None:
        park = self.park
        facts, rounds = two_phones(park)
        order = data.draw(st.permutations(range(len(facts))))
        again = data.draw(st.lists(st.sampled_from(range(len(facts))), max_size=12))
        heard = [facts[at] for at in [*order, *again]]
        cut = data.draw(st.integers(0, len(heard)))
        for batch in (heard[:cut], heard[cut:]):
            told = hear_facts(facts=batch, clock=None, device="p1", speaker=park.actors.tilda)
            assert [one.reason for one in told if one.outcome == "refused"] == []
        assert state(park, rounds) == self.expected(park, facts, rounds)

    def expected(self, park: Wendlebrook, facts: list[dict[str, Any]], rounds: list[UUID]) -> dict[str, Any]:
        """Worked out by hand, not by hearing the facts in another order."""
        kelp, samphire, thrift = park["Kelp"], park["Samphire"], park["Thrift"]
        at = {fact["id"]: datetime.fromisoformat(fact["at"]) for fact in facts}
        (started, _, seen, _, inferred, _, begun, _, _, part, _, _, second, _, closed, ended, _) = facts
        sightings = [
            (UUID(seen["id"]), kelp, "by sight", at[seen["id"]]),
            (UUID(inferred["id"]), thrift, "inferred", at[inferred["id"]]),
            (UUID(part["id"]), None, "part reading", at[part["id"]]),
            (UUID(second["id"]), samphire, "by sight", at[second["id"]]),
        ]
        spans = [
            (rounds[0], at[started["id"]], at[closed["id"]]),
            (rounds[1], at[begun["id"]], at[ended["id"]]),
        ]
        return {
            "observed": [frozenset({kelp, samphire})] * 2,
            "inferred": [frozenset({thrift})] * 2,
            "counts": [[("avocet", 5)]] * 2,
            "groups": [[(UUID(part["group"]), 3, True, park.south_pool)]] * 2,
            "sightings": [sorted(sightings, key=lambda one: (one[3], str(one[0])))] * 2,
            "spans": [spans] * 2,
            "last": {
                kelp: (at[seen["id"]], "north spit"),
                samphire: (at[second["id"]], "south pool"),
            },
            "places": {kelp: {park.north_spit: 1.0}, samphire: {park.south_pool: 1.0}},
            "weights": [(park["Marram"], 290.0)],
            "cases": ["lame"],
            "waiting": 0,
        }
