"""All tables of facts, and which of them knows an id."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db.models import CharField, QuerySet, Value

from tarsus.records.models.facts import Fact


@cache
def fact_tables() -> dict[str, type[Fact]]:
    """Every table of facts by its kind in words (``sighting``, ``round started``)."""
    tables = apps.get_app_config("records").get_models()
    return {str(table._meta.verbose_name): table for table in tables if issubclass(table, Fact)}


def kinds_of(fact_ids: Iterable[UUID]) -> dict[UUID, str]:
    """The kind of each fact that is written, in one query; unknown ids are left out."""
    ids = list(fact_ids)
    asked: list[QuerySet[Any, tuple[UUID, str]]] = [
        table._default_manager.filter(pk__in=ids)
        .annotate(kind_in_words=Value(kind, output_field=CharField()))
        .values_list("pk", "kind_in_words")
        for kind, table in fact_tables().items()
    ]
    return dict(asked[0].union(*asked[1:], all=True))


def kind_of(fact_id: UUID) -> str | None:
    """The kind of one fact, or none where no fact has this id."""
    return kinds_of([fact_id]).get(fact_id)
