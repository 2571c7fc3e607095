"""The ledger read: what was told of a bird, by whom, from whose session, and what it was before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final
from uuid import UUID

from django.apps import apps
from django.db.models import Model

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import BY_ID, BY_NUMBER, SEVERAL, Field, Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.telling import sentence
from tarsus.queries.named_rows import names_of
from tarsus.records.fact_tables import fact_tables, kind_of
from tarsus.records.models import ToldDeed, Withdrawal
from tarsus.records.standing import standing

Contents = Mapping[str, Any]
_NAMED: Final = BY_NUMBER | BY_ID | frozenset(SEVERAL)
Names = Mapping[Kind, Mapping[Any, str]]


@dataclass(frozen=True, slots=True)
class Told:
    """One deed as it was told: what a history, or a form that corrects it, starts from."""

    id: UUID
    deed: Deed
    contents: Contents
    happened_at: datetime


def told_deed(deed_id: UUID) -> Told | None:
    """A deed by its id: of the ledger, or a fact of before it, read back from its row. None where unknown."""
    row = ToldDeed.objects.filter(pk=deed_id).first()
    if row is not None:
        return Told(row.pk, DEEDS[row.kind], row.contents, row.happened_at)
    kind = kind_of(deed_id)
    if kind is None:
        return None
    table = fact_tables()[kind]
    deed = next((one for one in DEEDS.values() if one.table == table._meta.model_name), None)
    fact = table._default_manager.filter(pk=deed_id).first()
    if deed is None or fact is None:
        return None
    return Told(deed_id, deed, contents_of_row(deed, fact), fact.happened_at)


def column_of(field: Field) -> str:
    """The column that keeps a field, empty where none is its own."""
    if field.column:
        return field.column.strip("-")
    return f"{field.name}_id" if field.kind in BY_NUMBER or field.kind in BY_ID - {Kind.ID} else field.name


def contents_of_row(deed: Deed, row: Model) -> dict[str, Any]:
    """What was said of a fact, read back from the row that keeps it; what has no column is left out."""
    found = {field.name: getattr(row, column, None) for field in deed.fields if (column := column_of(field))}
    return {
        name: str(value)
        if isinstance(value, UUID)
        else value.isoformat()
        if isinstance(value, date)
        else value
        for name, value in found.items()
        if value not in (None, "")
    }


def row_as_said(deed: Deed, key: int) -> dict[str, Any]:
    """What is said now of the row that a deed would change; nothing where there is no such row."""
    table = apps.get_model("records", deed.table)
    row = table._default_manager.filter(pk=key).first()
    return {} if row is None else contents_of_row(deed, row)


def names_for(told: Iterable[tuple[Deed, Contents]]) -> dict[Kind, dict[Any, str]]:
    """The names of all rows that deeds speak of, a query a kind."""
    wanted: dict[Kind, set[Any]] = defaultdict(set)
    for deed, contents in told:
        for field in deed.fields:
            said = contents.get(field.name)
            if said is None or field.kind not in _NAMED:
                continue
            kind = SEVERAL.get(field.kind, field.kind)
            wanted[kind].update(said if field.kind in SEVERAL else [said])
    return {
        kind: {str(key): name for key, name in names_of(kind, keys).items()} for kind, keys in wanted.items()
    }


def told_in_words(deed: Deed, contents: Contents, names: Names) -> str:
    """A deed as one sentence of a history."""
    words = {field.name: value_in_words(field, contents.get(field.name), names) for field in deed.fields}
    return sentence(deed.told, words)


def value_in_words(field: Field, value: Any, names: Names) -> str:
    """One value as a person says it; empty where nothing was said."""
    if value is None or value == "" or value == []:
        return ""
    if field.kind in SEVERAL:
        of_kind = names.get(SEVERAL[field.kind], {})
        return ", ".join(of_kind.get(str(key), str(key)) for key in value)
    if field.kind in _NAMED:
        return names.get(field.kind, {}).get(str(value), "")
    if field.kind is Kind.FLAG:
        return field.label[:1].lower() + field.label[1:] if value else ""
    if field.kind in (Kind.CHOICE, Kind.CHOICES, Kind.WORDS):
        said = dict(field.choices)
        several = value if isinstance(value, list | tuple) else [value]
        return ", ".join(said.get(one, str(one)) for one in several)
    if field.kind is Kind.DAY:
        return f"{date.fromisoformat(str(value)):%-d %B %Y}"
    if field.kind in (Kind.NUMBER, Kind.WHOLE):
        return f"{value:g} {field.unit}".strip()
    return str(value)


def in_words(deed: Deed, contents: Contents) -> str:
    """One deed as a sentence, its names looked up."""
    return told_in_words(deed, contents, names_for([(deed, contents)]))


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where a fact came from: who sent it, what it was told in place of, and whether it was taken back."""

    sent_by: str = ""
    before: str = ""
    why_corrected: str = ""
    taken_back_by: str = ""
    taken_back_because: str = ""
    replaced_by: UUID | None = None

    @property
    def replaced(self) -> bool:
        """Whether another deed was told in its place."""
        return self.replaced_by is not None


NOTHING_MORE: Final = Provenance()


def provenance_of(ids: Iterable[UUID]) -> dict[UUID, Provenance]:
    """Where facts came from, in a constant number of queries; those without anything to tell are left out."""
    wanted = list(ids)
    rows = list(ToldDeed.objects.filter(pk__in=wanted).select_related("sent_by"))
    earlier = [row.corrects for row in rows if row.corrects is not None and row.kind != "withdrawn"]
    before = {row.pk: row for row in ToldDeed.objects.filter(pk__in=earlier)}
    names = names_for([(DEEDS[row.kind], row.contents) for row in before.values()])
    again = ToldDeed.objects.filter(corrects__in=wanted).exclude(kind="withdrawn")
    replaced = dict(again.order_by("recorded_at").values_list("corrects", "pk"))
    told: dict[UUID, Provenance] = {}
    for row in rows:
        was = before.get(row.corrects) if row.corrects else None
        told[row.pk] = Provenance(
            sent_by=row.sent_by.display_name if row.sent_by and row.sent_by_id != row.by_id else "",
            before=told_in_words(DEEDS[was.kind], was.contents, names) if was else "",
            why_corrected=row.why_corrected,
        )
    for gone in standing(Withdrawal.objects.filter(withdraws__in=wanted)).select_related("recorded_by"):
        kept = told.get(gone.withdraws, Provenance())
        told[gone.withdraws] = Provenance(
            kept.sent_by,
            kept.before,
            kept.why_corrected,
            gone.recorded_by.display_name,
            gone.because,
            replaced.get(gone.withdraws),
        )
    return told
