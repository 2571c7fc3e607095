"""Everything that the register holds, as plain tables: birds as an import reads them, then every table."""

from __future__ import annotations

from base64 import b64encode
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime, time
from typing import Any, Final
from uuid import UUID

from django.apps import apps
from django.db import connection, models, transaction

from tarsus.core.marks.noted import NotedBand, NotedMarks
from tarsus.core.marks.wording import in_letters, in_words
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import FlockBird, birds_everywhere
from tarsus.queries.imports import park_lettering
from tarsus.queries.marks import WornBand
from tarsus.queries.once import hold_to_one_moment
from tarsus.records.models import Bird, Place
from tarsus.records.table_names import table_name
from tarsus.tables.known import LEVELS
from tarsus.tables.writing import Table, Value

SECRETS: Final = {
    "Person": (
        *("password", "last_login", "past_passwords", "pin", "pin_wrong", "pin_wrong_at"),
        *("second_secret", "second_since", "second_last", "recovery_codes"),
    ),
    "DeviceToken": ("digest",),
    "PhoneNews": ("endpoint", "key", "auth"),
    "SharedPractice": ("answers",),
    "SignedIn": ("session_key", "digest"),
    "PhoneKey": ("key",),
}
"""What no export holds: it would let somebody in, is of no use outside, or is its owner's own."""
PASSING: Final = ("Job",)
"""Tables of what is over when it is done: no record of the park, and held by no export."""

_BIRD_HEADINGS: Final = (
    *("name", "number", "species", "sex", "sex known by", "hatched", "origin", "exhibit", "place", "since"),
    *("marks", "marks in words", "transponder", "natural marks", "dam", "sire", "owner", "certificate"),
)
_CHUNK: Final = 2000


@contextmanager
def one_moment() -> Iterator[None]:
    """Read everything as of one moment, while others go on writing."""
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        # Not `atomic`: with IMMEDIATE it would hold the only writer's place for as long as the export takes.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
            try:
                # The moment is that of the first look.
                cursor.execute("SELECT 1 FROM django_migrations LIMIT 1")
                hold_to_one_moment()
                yield
            finally:
                cursor.execute("ROLLBACK")
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            hold_to_one_moment()
            yield


def rows_held() -> int:
    """How many rows an export has to write, for a bar that shows how far it is."""
    return sum(model._default_manager.count() for model in _held()) + Bird.objects.count()


def tables_held(day: date, progress: Callable[[int], None] = lambda _: None) -> Iterator[Table]:
    """Every table, one after another; rows are read as they are written out.

    Args:
        day: the park's day for the table of birds.
        progress: hears 1 for each row.

    Returns:
        `birds` first: living birds with the headings an import knows. Then each table of the register under
        its own name, references as ids, without passwords and tokens.
    """
    yield Table("birds", _BIRD_HEADINGS, _counted(_bird_rows(day), progress))
    for model in _held():
        fields = _fields(model)
        yield Table(
            table_name(model),
            tuple(field.attname for field in fields),
            _counted(_rows(model, fields), progress),
        )


def table_names() -> tuple[str, ...]:
    """The names of all tables that `tables_held` gives."""
    return ("birds", *(table_name(model) for model in _held()))


def _held() -> list[type[models.Model]]:
    """The register's own tables, those between two of them included."""
    tables = apps.get_app_config("records").get_models(include_auto_created=True)
    return sorted((table for table in tables if table.__name__ not in PASSING), key=table_name)


def _fields(model: type[models.Model]) -> list[models.Field[Any, Any]]:
    hidden = SECRETS.get(model.__name__, ())
    return [field for field in model._meta.concrete_fields if field.attname not in hidden]


def _counted(rows: Iterator[Sequence[Value]], progress: Callable[[int], None]) -> Iterator[Sequence[Value]]:
    for row in rows:
        progress(1)
        yield row


def _rows(model: type[models.Model], fields: list[models.Field[Any, Any]]) -> Iterator[Sequence[Value]]:
    names = [field.attname for field in fields]
    for row in model._default_manager.order_by("pk").values_list(*names).iterator(chunk_size=_CHUNK):
        yield [_plain(value) for value in row]


def _plain(value: Any) -> Value:
    if isinstance(value, UUID | time):
        return str(value)
    if isinstance(value, bytes | memoryview):
        return b64encode(value).decode()
    assert value is None or isinstance(value, str | int | float | bool | date | datetime | list | dict)
    return value


def _bird_rows(day: date) -> Iterator[Sequence[Value]]:
    """Living birds, each in the words and letters in which an import reads it back."""
    lettering = park_lettering()
    exhibits = exhibit_names()
    places = dict(Place.objects.values_list("id", "name"))
    rows = {row.pk: row for row in Bird.objects.select_related("dam", "sire").order_by("id")}
    for bird in sorted(birds_everywhere(day), key=lambda one: one.bird_id):
        row, level = rows[bird.bird_id], LEVELS[bird.form]
        noted = _noted(bird)
        yield [
            *(bird.name if row.house_name else "", bird.number, bird.species),
            *(bird.sex, bird.sex_known_by or "not said", _hatched(row), row.origin),
            *(exhibits[bird.exhibit_id], places.get(bird.place_id or 0, ""), bird.since),
            *(in_letters(noted, lettering, level), in_words(noted, level)),
            *(bird.transponder, "; ".join(mark.text for mark in bird.natural_marks)),
            *(str(row.dam or ""), str(row.sire or ""), bird.owner, row.certificate),
        ]


def _noted(bird: FlockBird) -> NotedMarks:
    by_site: dict[str, list[NotedBand]] = defaultdict(list)
    for band in bird.bands:
        by_site[band.site].append(_noted_band(band))
    return NotedMarks.of(by_site)


def _noted_band(band: WornBand) -> NotedBand:
    condition = next((word for word in ("worn", "faded") if word in band.conditions), "")
    return NotedBand(band.word, band.engraving, band.kind == "cable tie", band.kind == "closed", condition)


def _hatched(bird: Bird) -> str:
    """The hatch date as closely as it is known, in a form that is read back the same."""
    day = bird.hatched_on
    if day is None:
        return ""
    told = {"day": day.isoformat(), "month": f"{day:%Y-%m}", "year": f"{day:%Y}"}
    return told.get(bird.hatched_precision, f"about {day.isoformat()}")
