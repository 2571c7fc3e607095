"""How many birds can be told apart, against published tables."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tarsus.core.choosing.codes.capacity import Capacity, capacity
from tarsus.core.choosing.codes.words import least_distance
from tarsus.core.documents.capacity import capacity_as_document, capacity_in_words
from tarsus.core.errors import TooMany, WrongValue

# Brouwer's tables of general codes and the classical results: the file names the source of each row.
TABLE = json.loads((Path(__file__).parents[3] / "published" / "code_bounds.json").read_text("utf-8"))["rows"]


@pytest.mark.parametrize("row", TABLE, ids=lambda r: f"{r['q']} colours {r['n']} bands {r['d']} apart")
def test_capacity_reaches_the_published_table_and_never_passes_it(row: dict[str, Any]) -> None:
    found = capacity(row["q"], row["n"], row["d"])
    assert row["lower"] <= found.birds <= found.upper_bound
    assert row["lower"] <= found.upper_bound
    if row["lower"] == row["upper"]:
        assert found.birds == row["upper"]  # no code passes a proven table
        assert found.proven
    assert found.proven == (found.birds == found.upper_bound)
    assert least_distance(found.combinations) >= row["d"]
    assert int(found.combinations.max()) < row["q"]


def test_thirty_four_birds_of_six_colours_and_not_thirty_six() -> None:
    """Tarry 1900: no two orthogonal Latin squares of order 6, so Singleton's 36 cannot be reached."""
    found = capacity(6, 4, 3)
    assert (found.birds, found.upper_bound, found.proven) == (34, 34, True)
    assert "Tarry" in found.method
    assert capacity_in_words(found) == (
        "With six colours and four bands, 34 birds can be told apart even when any one band is misread."
    )


def test_an_open_figure_is_not_called_proven() -> None:
    found = Capacity(6, 5, 4, np.zeros((31, 5), dtype=np.uint8), 34, "…")
    assert not found.proven
    assert capacity_in_words(found).endswith("Whether more could be, up to 34, is not known here.")


@pytest.mark.parametrize(
    ("distance", "said"),
    [
        (1, "when every band is read right."),
        (2, "; one misread band is noticed, not put right."),
        (4, " even when any one band is misread, and two misread are noticed."),
        (5, " even when any two bands are misread."),
    ],
)
def test_the_words_say_what_a_distance_is_worth(distance: int, said: str) -> None:
    found = Capacity(9, 5, distance, np.zeros((9, 5), dtype=np.uint8), 9, "…")
    assert capacity_in_words(found).endswith(said)


def test_the_same_question_has_the_same_answer() -> None:
    assert np.array_equal(capacity(4, 6, 5).combinations, capacity(4, 6, 5).combinations)


def test_a_document_names_colours_and_holds_as_many_words_as_birds() -> None:
    document = capacity_as_document(capacity(14, 2, 2))
    assert document["birds"] == len(document["combinations"]) == 14
    assert document["combinations"][13] == ["colour 14", "colour 14"]


@pytest.mark.parametrize(
    ("figures", "place"),
    [((1, 4, 3), "colours"), ((27, 4, 3), "colours"), ((6, 0, 1), "positions"), ((6, 4, 5), "distance")],
)
def test_a_figure_out_of_range_is_refused_by_name(figures: tuple[int, int, int], place: str) -> None:
    with pytest.raises(WrongValue) as refused:
        capacity(*figures)
    assert refused.value.place == place


def test_more_combinations_than_can_be_listed_are_refused() -> None:
    with pytest.raises(TooMany, match="more combinations than can be listed"):
        capacity(13, 6, 1)


@pytest.mark.parametrize(
    ("colours", "positions", "distance"),
    [(6, 10**11, 3), (6, 10**11, 10**11), (2, 10**11, 1), (26, 27, 27), (2, 63, 20)],
)
def test_bands_beyond_all_measure_are_refused_before_anything_is_counted(
    colours: int, positions: int, distance: int
) -> None:
    with pytest.raises(TooMany, match="more combinations than can be listed") as refused:
        capacity(colours, positions, distance)
    assert refused.value.place == "positions"


def test_as_many_birds_as_colours_are_told_apart_where_nothing_better_is_known() -> None:
    found = capacity(2, 26, 20)
    assert found.birds == found.upper_bound == 2
    assert np.count_nonzero(found.combinations[0] != found.combinations[1]) == 26
