"""Guards that the database itself holds, the same on SQLite and PostgreSQL."""

from __future__ import annotations

from typing import Any

from django.db.models import BaseConstraint, CheckConstraint, F, Q, TextChoices


def one_of(field: str, words: type[TextChoices]) -> CheckConstraint:
    """The field holds one word of a closed list, or nothing where it may be null."""
    return CheckConstraint(
        condition=Q(**{f"{field}__in": words.values}) | Q(**{f"{field}__isnull": True}),
        name=f"%(class)s_{field}_is_a_word",
    )


def not_before(first: str, last: str) -> CheckConstraint:
    """The second date is not before the first, or not known yet."""
    return CheckConstraint(
        condition=Q(**{f"{last}__isnull": True}) | Q(**{f"{last}__gte": F(first)}),
        name=f"%(class)s_{last}_after_{first}",
    )


def within(field: str, low: Any, high: Any) -> CheckConstraint:
    """The field lies between two values, both allowed, or is not known."""
    return CheckConstraint(
        condition=Q(**{f"{field}__isnull": True})
        | (Q(**{f"{field}__gte": low}) & Q(**{f"{field}__lte": high})),
        name=f"%(class)s_{field}_in_range",
    )


def said(*fields: str) -> list[BaseConstraint]:
    """These texts are not empty."""
    return [CheckConstraint(condition=~Q(**{field: ""}), name=f"%(class)s_{field}_said") for field in fields]
