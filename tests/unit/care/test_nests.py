"""What became of a nest's chicks: each has one answer, and the answers balance."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from tarsus.core.care.nests import Found, nest_standing

KINDS = ("eggs", "hatched", "unbanded chicks", "fledged", "banded", "vanished", "dead", "failed", "looked")


def found(*told: tuple[str, int | None]) -> list[Found]:
    return [Found(date(2026, 5, 1) + timedelta(days=day), *one) for day, one in enumerate(told)]


def test_a_chick_that_vanished_is_told_in_its_own_word_and_balances() -> None:
    brood = (("eggs", 4), ("hatched", 3))
    nest = nest_standing(found(*brood, ("vanished", 1), ("dead", 1)))
    assert (nest.hatched, nest.with_parents, nest.vanished, nest.dead, nest.failed) == (3, 1, 1, 1, 0)
    more = nest_standing(found(*brood, ("fledged", 2), ("dead", 2)))
    assert (more.hatched, more.with_parents, more.flown, more.dead) == (3, 0, 1, 2), (
        "those with parents first"
    )
    unseen = nest_standing(found(*brood, ("dead", 4)))
    assert (unseen.hatched, unseen.chicks, unseen.dead) == (4, 0, 4), "one had hatched unseen"


def test_fledged_vanished_and_dead_answer_the_same_question() -> None:
    told = found(("eggs", 7), ("hatched", 6), ("fledged", 2), ("unbanded chicks", 5), ("banded", None))
    nest = nest_standing([*told, *found(("failed", 1))])
    assert (nest.eggs, nest.dead, nest.failed) == (0, 0, 1), "the egg that was left was lost first"
    assert (nest.hatched, nest.with_parents, nest.flown, nest.banded, nest.vanished) == (6, 2, 2, 1, 1)
    after = nest_standing([*told, *found(("failed", 1), ("failed", 3))])
    assert (after.dead, after.with_parents, after.flown) == (3, 0, 1)


def test_more_chicks_than_were_known_hatched_unseen() -> None:
    nest = nest_standing(found(("hatched", 1), ("unbanded chicks", 3)))
    assert (nest.hatched, nest.with_parents, nest.vanished) == (3, 3, 0)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.sampled_from(KINDS), st.none() | st.integers(0, 5)), max_size=12))
def test_every_chick_has_one_answer(told: list[tuple[str, int | None]]) -> None:
    nest = nest_standing(found(*told))
    assert nest.hatched == nest.with_parents + nest.flown + nest.banded + nest.vanished + nest.dead
    assert min(nest.with_parents, nest.flown, nest.vanished, nest.dead) >= 0
