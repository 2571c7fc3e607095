"""Whatever a fact holds, of any deed: written or refused in one sentence, and a refused one wrote nothing.

Each fact is made after its deed's own declaration, then spoiled in some of its fields; ten travel together.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import uuid4

import pytest
from django.apps import apps
from django.db import connection, transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from fuzz import VALUES, WORDS, patience, share
from phones import SEVEN
from refusing import Small
from tarsus.actions.facts import Answer, hear_facts
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import BY_ID, BY_NUMBER, SEVERAL, Field, Kind
from tarsus.core.deeds.register import DEEDS
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
TOGETHER = 10
LONGEST_REASON = 700
EDGES = st.sampled_from([0, 1, -1, 0.5, 2, 3, 7, 100, 10**6])


def sound(field: Field) -> st.SearchStrategy[Any]:
    """Values that the declaration of a field allows, or all but allows."""
    kind = field.kind
    if kind in BY_NUMBER:
        return st.integers(1, 12)
    if kind in SEVERAL:
        return st.lists(st.integers(1, 12), max_size=3)
    if kind in BY_ID:
        return st.sampled_from(IDS)
    if field.choices:
        words = st.sampled_from([word for word, _ in field.choices])
        return st.lists(words, max_size=3) if kind is Kind.CHOICES else words
    if kind is Kind.PARTS:
        return st.lists(parts(field), max_size=2)
    if kind is Kind.PART:
        return parts(field)
    if kind in (Kind.NUMBER, Kind.WHOLE):
        return EDGES | st.sampled_from([field.low, field.high])
    return {
        Kind.FLAG: st.booleans(),
        Kind.DAY: st.sampled_from(["2026-06-11", "2026-06-10", "1999-12-31", "2027-01-01"]),
        Kind.MOMENT: st.sampled_from([SEVEN.isoformat(), "2026-06-11T23:59:59+14:00"]),
        Kind.WORDS: st.lists(WORDS, max_size=3),
        Kind.READING: MARKS,
        Kind.MARKS: MARKS,
        Kind.DOCUMENT: st.dictionaries(WORDS, VALUES, max_size=2),
    }.get(kind, st.sampled_from(["calm", "red", "avocet", *too_long(field)]))


def too_long(field: Field) -> list[str]:
    """As long as it may be and a character longer; of a picture what still fits into one sending."""
    longest = min(field.longest, MOST_OF_A_SENDING)
    return ["é" * longest, "x" * (longest + 1)]


MOST_OF_A_SENDING = 100_000
IDS = [str(uuid4()) for _ in range(3)]
MARKS = st.dictionaries(
    st.sampled_from(["left leg", "right leg", "left tibia", "wing"]),
    st.lists(st.sampled_from(["red", "blue", "metal", "?", "*", "pink"]), max_size=3),
    max_size=2,
)


def parts(field: Field) -> st.SearchStrategy[Any]:
    return st.fixed_dictionaries({}, optional={part.name: sound(part) for part in field.parts})


def facts_of(deed: Deed) -> st.SearchStrategy[dict[str, Any]]:
    """Facts of one deed: every field sound, spoiled or left out; now and then something more."""
    named = {field.name: sound(field) | VALUES for field in deed.fields}
    required = {field.name: sound(field) for field in deed.fields if field.required}
    return st.one_of(
        st.fixed_dictionaries(
            required, optional={name: named[name] for name in named if name not in required}
        ),
        st.fixed_dictionaries({}, optional=named),
        st.fixed_dictionaries(required, optional={"more": VALUES}),
    ).map(lambda said: {"kind": deed.name, **said})


ENVELOPES = st.sampled_from(
    [SEVEN.isoformat()] * 8 + ["1850-01-01T00:00:00Z", "2036-06-11T07:00:00+01:00", "", None, "\ud800", 7]
)
SPEAKERS = {
    "tilda": "keeper",
    "maren": "lead",
    "ilse": "vet",
    "corin": "records",
    "dunstan": "administrator",
}


def sendings_of(login: str) -> st.SearchStrategy[tuple[str, list[tuple[dict[str, Any], Any]]]]:
    """What one person sends: mostly deeds that are theirs, and a few of others."""
    own = [facts_of(deed) for deed in DEEDS.values() if deed.allowed_to(SPEAKERS[login])]
    others = [facts_of(deed) for deed in DEEDS.values() if not deed.allowed_to(SPEAKERS[login])]
    fact = st.tuples(st.one_of([*own, st.one_of(others)]), ENVELOPES)
    return st.tuples(st.just(login), st.lists(fact, min_size=TOGETHER, max_size=TOGETHER))


SENDINGS = st.one_of([sendings_of(login) for login in SPEAKERS])


def held() -> list[int]:
    """How many rows each table of the register holds."""
    tables = [model._meta.db_table for model in apps.get_app_config("records").get_models()]
    counts = ", ".join(f'(SELECT count(*) FROM "{table}")' for table in tables)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {counts}")
        return list(cursor.fetchone())


def look_at(fact: Mapping[str, Any], answer: Answer) -> None:
    assert answer.outcome in ("written", "known", "refused")
    assert "fault" not in answer.reason, (fact, answer.reason)
    assert "\n" not in answer.reason
    assert len(answer.reason) < LONGEST_REASON, (fact, answer.reason)
    assert bool(answer.reason) == (answer.outcome == "refused"), (fact, answer)


def test_a_hostile_fact_is_written_whole_or_refused_in_one_sentence(park: Wendlebrook) -> None:
    Small(park)
    heard = {"facts": 0, "written": 0, "known": 0, "refused": 0, "looked": 0}

    @settings(max_examples=-(-share("facts") // TOGETHER), deadline=None)
    @given(SENDINGS, st.integers(0, 4))
    def hold(sending: tuple[str, list[tuple[dict[str, Any], Any]]], look: int) -> None:
        by = getattr(park.actors, sending[0])
        facts = [{"id": str(uuid4()), "at": at, "by": by, **said} for said, at in sending[1]]
        with transaction.atomic():
            with patience(facts):
                answers = hear_facts(facts=facts, clock=None, device="p", speaker=by)
            for fact, answer in zip(facts, answers, strict=True):
                look_at(fact, answer)
                heard["facts"] += 1
                heard[answer.outcome] += 1
            if look == 0:
                heard["looked"] += refused_again_writes_nothing(facts, answers, by)
            transaction.set_rollback(True)

    hold()
    assert heard["facts"] >= share("facts")
    assert heard["written"] > heard["facts"] // 50, "most are refused, but not all: the door is open"
    assert heard["refused"] > heard["facts"] // 4
    assert heard["looked"] > heard["facts"] // 50


def refused_again_writes_nothing(facts: list[dict[str, Any]], answers: list[Answer], by: int) -> int:
    """What was refused and is not kept as a question is refused anew, and no table has a row more.

    Gives how many; none where one of them is written now, since it leans on another that was.
    """
    refused = [
        {**fact, "id": str(uuid4())}
        for fact, answer in zip(facts, answers, strict=True)
        if answer.outcome == "refused" and not answer.waits
    ]
    before = held()
    again = hear_facts(facts=refused, clock=None, device="p", speaker=by)
    if any(answer.outcome != "refused" or answer.waits for answer in again):
        return 0
    assert held() == before, refused
    return len(refused)
