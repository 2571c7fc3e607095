"""The published roll calls, laid into the tables: out of them comes what the fold says of the facts."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import NAMESPACE_OID, UUID, uuid5

import pytest

from published_checks import published
from round_cases import Case, round_cases
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.telling import Told
from tarsus.core.rounds import facts as told
from tarsus.core.rounds.fold import roll_calls, to_join
from tarsus.queries.round_facts import facts_of_rounds
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db

ALL = round_cases(published("round_cases"))


def lay(park: Wendlebrook, case: Case) -> None:
    """Write the facts of a case into the tables, birds as those of the small park in order.

    What is withdrawn is withdrawn through the door, and told twice to it.
    """
    by = sorted({fact.by for fact in case.facts})
    people = dict(zip(by, (park.actors.tilda, park.actors.oswin, park.actors.maren), strict=False))
    for fact in case.facts:
        now = {"recorded_by_id": people[fact.by], "happened_at": fact.happened_at, "id": uid(fact.id)}
        now["recorded_at"] = fact.recorded_at or fact.happened_at
        if isinstance(fact, told.Withdrawn):
            continue
        if fact.round is not None:
            rows.Round.objects.get_or_create(pk=uid(fact.round), defaults={"exhibit_id": park.shingle})
        lay_one(park, fact, now)
    for fact in case.facts:
        if isinstance(fact, told.Withdrawn):
            mine = Told(by=people[fact.by], at=fact.happened_at, id=uid(fact.id))
            said = [withdraw(told=mine, fact_id=uid(fact.corrects), because="-") for _ in range(2)]
            assert said == [True, False]


def lay_one(park: Wendlebrook, fact: told.RoundFact, now: dict[str, Any]) -> None:
    of = {"round_id": fact.round and uid(fact.round), **now}
    match fact:
        case told.Started():
            rows.RoundStarted.objects.create(**of)
        case told.Closed():
            rows.RoundClosed.objects.create(version={}, **of)
        case told.Reopened():
            rows.RoundReopened.objects.create(**of)
        case told.NotDone():
            rows.RoundNotDone.objects.create(because=fact.because, lookalike=fact.lookalike, **of)
        case told.Counted():
            rows.Count.objects.create(lookalike=fact.lookalike, counted=fact.counted, **of)
        case told.Grouped():
            rows.Group.objects.create(group=uid(fact.group), size=fact.size, flew=fact.flew, **of)
        case told.Sighted():
            named = {"bird_id": bird(park, fact.bird), "how": fact.how, "chance": fact.chance}
            named["accepted_by_id"] = now["recorded_by_id"] if fact.bird is not None else None
            named["reading"] = {} if fact.how == "by reading" else None
            shares = [{"bird": bird(park, one), "chance": chance} for one, chance in fact.candidates]
            rows.Sighting.objects.create(
                exhibit_id=park.shingle, lookalike=fact.lookalike, candidates=shares, **named, **of
            )


def uid(name: str) -> UUID:
    return uuid5(NAMESPACE_OID, name)


def bird(park: Wendlebrook, number: int | None) -> int | None:
    known = {1: "Samphire", 2: "Kelp", 3: "Sedge", 4: "Thrift", 5: "Marram", 21: "Dock", 22: "Teasel"}
    return None if number is None else park[known.get(number, "Burdock")]


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_what_comes_out_of_the_tables_is_what_was_told(park: Wendlebrook, case: Case) -> None:
    lay(park, case)
    facts = facts_of_rounds(rows.Round.objects.all())[park.shingle]
    calls = roll_calls(facts, case.zone, case.now)
    wanted = roll_calls(case.facts, case.zone, case.now)
    assert [call.phase for call in calls] == [call.phase for call in wanted]
    assert [call.groups for call in calls] == [call.groups for call in wanted]
    assert [shape(call.counts) for call in calls] == [shape(call.counts) for call in wanted]
    assert [moments(call) for call in calls] == [moments(call) for call in wanted]
    assert [len(call.late) for call in calls] == [len(call.late) for call in wanted]
    assert [call.observed for call in calls] == [
        {bird(park, one) for one in call.observed} for call in wanted
    ]
    assert len({to_join(calls)} - {None}) == len({case.join} - {None})


def shape(counts: Any) -> dict[str, list[int]]:
    return {name: sorted(one.counted for one in both.told) for name, both in counts.items()}


def moments(call: Any) -> list[datetime | None]:
    return [call.begun_at, call.ended_at, *sorted(span.begun_at for span in call.rounds)]
