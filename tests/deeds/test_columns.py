"""The limits of a deed are those of the register's columns: what a form lets through, a database keeps."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.apps import apps
from django.db import models

from tarsus.actions.hearing.table import BOUND
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import TEXTS, Field, Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.told_deeds import column_of

TABLES = {str(table._meta.model_name): table for table in apps.get_app_config("records").get_models()}


def kept() -> Iterator[tuple[str, Deed, Field, models.Field]]:
    """Every field of a deed with the column that keeps it."""
    for deed in DEEDS.values():
        for field in deed.fields:
            if deed.table and (column := column_of(field)):
                columns = {one.attname: one for one in TABLES[deed.table]._meta.concrete_fields}
                assert column in columns, f"{deed.name}.{field.name}: {deed.table} has no column {column}"
                yield f"{deed.name}.{field.name}", deed, field, columns[column]


def test_every_deed_with_a_table_names_one_that_is_there() -> None:
    assert not [deed.name for deed in DEEDS.values() if deed.table and deed.table not in TABLES]


def test_a_text_is_as_long_as_its_column() -> None:
    longer = {
        place: (field.longest, column.max_length)
        for place, _, field, column in kept()
        if field.kind in TEXTS and column.max_length is not None and field.longest > column.max_length
    }
    assert not longer, "the database would refuse, or cut, what the declaration lets through"


def test_a_word_of_a_closed_list_is_one_that_the_column_knows() -> None:
    odd = {}
    for place, _, field, column in kept():
        if field.kind is Kind.CHOICE:
            known = {word for word, _ in column.choices or ()}
            if column.choices and not set(field.words) <= known:
                odd[place] = set(field.words) - known
    assert not odd


def test_what_a_row_cannot_be_without_is_needed() -> None:
    loose = [
        place
        for place, _, field, column in kept()
        if not column.null and not column.has_default() and not column.blank and not field.required
        if field.kind is not Kind.FLAG and isinstance(column, models.ForeignKey)
    ]
    assert loose == ["death.species"], "a death takes the species of its bird"


@pytest.mark.parametrize("name", sorted(BOUND))
def test_the_writer_of_a_deed_takes_what_the_deed_declares(name: str) -> None:
    import inspect

    bound = BOUND[name]
    assert bound.action is not None
    if bound.arguments:
        inspect.signature(bound.action).bind(**dict.fromkeys(bound.arguments))


def test_the_name_of_a_deed_fits_into_the_ledger() -> None:
    longest = TABLES["tolddeed"]._meta.get_field("kind").max_length
    assert longest is not None
    assert not [name for name in DEEDS if len(name) > longest]
