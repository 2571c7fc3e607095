"""Columns are named by their headings, by a saved mapping, or they stay out and are told of."""

from __future__ import annotations

import pytest

from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.tables.columns import FIELDS, columns_for, field_of, likely_fields
from tarsus.tables.vocabulary import UnclearWord, read_known_by, read_origin, read_sex


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Bird", "name"),
        ("RING NO.", "metal"),
        ("  Left  leg ", "left"),
        ("Date of hatch", "hatched"),
        ("Aviary:", "exhibit"),
        ("left leg (upper)", "left tibia"),
        ("Temperament", ""),
    ],
)
def test_headings_are_known_by_the_words_of_the_trade(heading: str, field: str) -> None:
    assert field_of(heading) == field


def test_no_heading_means_two_fields() -> None:
    from tarsus.tables.columns import folded

    words = [folded(word) for field, words in FIELDS.items() for word in (field, *words)]
    assert sorted(words) == sorted(set(words))


def test_the_parks_own_mapping_comes_first_and_the_rest_stays_out() -> None:
    columns = columns_for(["Bird", "Ring", "Temperament", "Aviary"], {"ring": "metal", "AVIARY": "-"})
    assert columns.by_field == {"name": "Bird", "metal": "Ring"}
    assert columns.left_out == ("Temperament", "Aviary")


def test_two_columns_that_look_like_one_field_leave_the_second_out() -> None:
    columns = columns_for(["Bird", "Notes", "Remarks"])
    assert columns.by_field == {"name": "Bird", "note": "Notes"}
    assert columns.left_out == ("Remarks",)


def test_a_mapping_that_cannot_be_is_refused() -> None:
    with pytest.raises(UnknownWord, match="'specie' is no field; did you mean 'species'"):
        columns_for(["Bird"], {"Bird": "specie"})
    with pytest.raises(UnknownWord, match="'Brid' is no column of this table; did you mean 'Bird'"):
        columns_for(["Bird"], {"Brid": "name"})
    with pytest.raises(WrongValue, match="are both 'name'"):
        columns_for(["Bird", "Pet"], {"Bird": "name", "Pet": "name"})


def test_a_misspelt_heading_is_offered_its_likely_fields() -> None:
    assert likely_fields("Specise")[0] == "species"


@pytest.mark.parametrize(
    ("text", "sex"), [("F", "F"), ("hen", "F"), ("♂", "M"), ("1.0", "M"), ("0.1", "F"), ("?", "U"), ("", "U")]
)
def test_sexes_are_read_as_keepers_write_them(text: str, sex: str) -> None:
    assert read_sex(text) == sex


@pytest.mark.parametrize("text", ["1", "2", "male?", "w"])
def test_a_sex_that_is_not_said_plainly_is_refused(text: str) -> None:
    with pytest.raises(UnclearWord, match="write F, M or"):
        read_sex(text)


def test_origin_and_how_the_sex_was_known_have_their_own_words() -> None:
    assert read_origin("Captive bred") == "hatched elsewhere"
    assert read_known_by("feather DNA") == "DNA"
    with pytest.raises(UnclearWord, match="hatched here, hatched elsewhere, wild"):
        read_origin("bought")
