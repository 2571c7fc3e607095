"""Carcases without bands: they lower the count although nobody knows whose they are."""

from __future__ import annotations

from collections import Counter
from datetime import date

from django.db.models import QuerySet

from tarsus.queries.days import day_ends, park_zone
from tarsus.records.models import CarcaseNamed, Death
from tarsus.records.standing import standing


def unnamed_deaths() -> QuerySet[Death]:
    """Rows of carcases whose bird nobody has named yet; for queries of this package only."""
    named = standing(CarcaseNamed.objects.all()).values("death")
    return standing(Death.objects.filter(bird__isnull=True)).exclude(pk__in=named)


def carcases_off_the_roll(exhibit_id: int, day: date) -> dict[str, int]:
    """How many carcases lower the count of each look-alike group of an exhibit on a day."""
    rows = unnamed_deaths().filter(exhibit_id=exhibit_id, happened_at__lt=day_ends(day, park_zone()))
    return dict(Counter(rows.values_list("species__lookalike", flat=True)))
