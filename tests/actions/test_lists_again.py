"""A list that comes again when the register knows more by now: nothing is added up, nothing newer undone."""

from __future__ import annotations

from typing import Any

import pytest

from list_files import brought
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db


def test_a_nest_list_with_a_higher_count_is_refused_and_never_added_up(park: Any) -> None:
    species = rows.Species.objects.get(pk=park.avocet).name
    head = "nest,exhibit,species,begun,eggs,Chicks out,hatched on,ended"
    row = f"Box 4,Shingle Aviary,{species},2026-04-03"
    said = {"Chicks out": "hatched"}
    assert brought(park, head, f"{row},3,2,2026-04-25,", said=said, what="nests").told == 1
    for later in ("4,3,2026-04-25,", "4,2,2026-04-26,"):
        done = brought(park, head, f"{row},{later}", said=said, what="nests")
        (refused,) = done.refused
        assert (done.told, refused.field) == (0, "Chicks out")
        assert refused.reason == "2 on 2026-04-25 were told of this nest before"
        assert refused.remedy == "correct it at the nest, or leave the line out"
    events = rows.Nest.objects.get(name="Box 4").events
    assert set(events.values_list("kind", "amount")) == {("eggs", 3), ("hatched", 2)}
    assert brought(park, head, f"{row},4,2,2026-04-25,", said=said, what="nests").told == 1
    assert set(events.values_list("kind", "amount")) == {("eggs", 3), ("eggs", 4), ("hatched", 2)}
