"""A park with one of everything that a deed may name, and the look that a refused deed wrote nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.apps import apps

from phones import SEVEN
from tarsus.actions.birds.coming_going import record_death
from tarsus.actions.birds.identity import note_natural_mark, pair_birds
from tarsus.actions.birds.missing import begin_not_looked_for
from tarsus.actions.care.cases import close_case, open_case
from tarsus.actions.care.catch_up import drop_catch_up, keep_catch_up
from tarsus.actions.nests import begin_nest
from tarsus.actions.roll_call.rounds import start_round
from tarsus.actions.telling import Told
from tarsus.core.errors import TarsusError
from wendlebrook import DAY, Wendlebrook


class Small:
    """The small park with one of everything a deed may name, and what was told of it."""

    def __init__(self, park: Wendlebrook) -> None:
        by = park.actors.tilda
        self.park, self.kelp, self.by = park, park["Kelp"], by
        self.pair = pair_birds(one=park["Sedge"], other=park["Marram"], on=DAY, by=by)
        self.mark = note_natural_mark(bird_id=self.kelp, text="nick", on=DAY, by=by)
        nest = {"exhibit_id": park.shingle, "species_id": park.avocet, "name": "spit", "by": by}
        self.nest = begin_nest(**nest, from_on=DAY)
        self.spell = begin_not_looked_for(why="moult", from_on=DAY, by=by, bird_id=park["Dock"])
        self.case = open_case(about="lame", bird_ids=[self.kelp], by=by, at=SEVEN)
        self.closed = open_case(about="lame", bird_ids=[self.kelp], by=by, at=SEVEN)
        close_case(case_id=self.closed, because="walks", by=by)
        chosen = {"chosen": {self.kelp: ["weigh"]}, "limits": {}, "by": by}
        self.plan = keep_catch_up(exhibit_id=park.shingle, planned_for=DAY, **chosen)
        self.dropped = keep_catch_up(exhibit_id=park.reed, planned_for=DAY, **chosen)
        drop_catch_up(catch_up_id=self.dropped, by=by)
        self.round = uuid4()
        start_round(told=told(by), round_id=self.round, exhibit_id=park.shingle)
        death = told(by)
        record_death(told=death, exhibit_id=park.shingle, found_by="Tilda", species_id=park.ruff)
        self.death = death.id


def told(by: int, at: datetime = SEVEN) -> Told:
    return Told(by=by, at=at)


Act = Callable[..., Any]
SaidOf = Callable[[Small], Mapping[str, Any]]
Case = tuple[Act, SaidOf, str]
"""A deed, what it is told in the small park, and how its refusal begins."""


def named(case: Case) -> str:
    """What a case is called in a list of tests."""
    return f"{case[0].__name__}: {case[2]}"


def each(cases: Sequence[Case]) -> pytest.MarkDecorator:
    """Run a test with each of these cases."""
    return pytest.mark.parametrize("case", cases, ids=[named(case) for case in cases])


def _held() -> dict[str, list[Any]]:
    """Every row of the register, with all that stands in it."""
    tables = apps.get_app_config("records").get_models(include_auto_created=True)
    return {table.__name__: list(table._default_manager.order_by("pk").values_list()) for table in tables}


def refused(park: Wendlebrook, case: Case, speaker: str) -> None:
    """See a deed refused in these words, and nothing written; a stranger is refused it as well."""
    act, said, reason = case
    small = Small(park)
    before = _held()
    with pytest.raises(TarsusError) as refusal:
        act(**{speaker: told(small.by) if speaker == "told" else small.by}, **said(small))
    assert str(refusal.value).startswith(reason)
    if speaker == "by":
        with pytest.raises(TarsusError):
            act(by=-1, **said(small))
    assert _held() == before
