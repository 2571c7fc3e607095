"""How a declared deed is bound to the function that writes it, and to the one that takes it back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Final
from uuid import UUID

from tarsus.actions.birds.stays import park_day
from tarsus.actions.telling import Told
from tarsus.core.deeds.fields import BY_NUMBER, SEVERAL, Kind
from tarsus.core.deeds.register import DEEDS

Values = Mapping[str, Any]
_NAMED_BY_ID: Final = frozenset(
    {
        *BY_NUMBER,
        Kind.ROUND,
        Kind.SIGHTING,
        Kind.DEATH,
        Kind.BAND_FOUND,
        Kind.SEX_TEST,
        Kind.HANDLING,
        Kind.REPORT,
        Kind.TREATMENT,
    }
)


@dataclass(frozen=True, slots=True)
class Wrote:
    """What a deed did: whether it wrote something now, which rows, and what there is to say about it.

    `shown_once` is told to whoever asked and kept nowhere: a device's token.
    """

    now: bool = True
    rows: Mapping[str, int | str | list[int]] = field(default_factory=dict)
    said: tuple[str, ...] = ()
    shown_once: str = ""


@dataclass(frozen=True, slots=True)
class Earlier:
    """A deed of the ledger that is to be taken back."""

    id: UUID
    kind: str
    contents: Mapping[str, Any]
    wrote: Mapping[str, Any]


Write = Callable[[Told, Values], Wrote]
TakeBack = Callable[[Earlier, Told, str], None]


@dataclass(frozen=True, slots=True)
class Bound:
    """The function that writes a deed; `take_back` puts right what its withdrawal alone would not.

    `action` and `arguments` are there for the test that holds the two together. `plain`: it appends facts and
    changes no row that another fact looks up, so that facts of its kind share what is asked for a batch.
    """

    write: Write
    take_back: TakeBack | None = None
    action: Callable[..., Any] | None = None
    arguments: tuple[str, ...] = ()
    plain: bool = False


def fact(
    name: str,
    action: Callable[..., bool],
    *,
    take_back: TakeBack | None = None,
    plain: bool = False,
    **renamed: str,
) -> Bound:
    """Bind a deed to an action that takes ``told``; a field that names a row goes by ``…_id``.

    Args:
        name: of the deed.
        action: what writes it and says whether it wrote now.
        take_back: what puts its consequences right.
        plain: it appends facts and changes nothing that another fact looks up.
        **renamed: field -> what the action calls it.
    """
    names = _names(name, renamed)
    return Bound(partial(_write_fact, action, names), take_back, action, ("told", *names.values()), plain)


def _write_fact(action: Callable[..., bool], names: Mapping[str, str], told: Told, values: Values) -> Wrote:
    return Wrote(action(told=told, **_called(values, names)))


def spell(
    name: str,
    action: Callable[..., Any],
    *,
    row: str = "",
    on: str = "on",
    deed: bool = True,
    take_back: TakeBack | None = None,
    **renamed: str,
) -> Bound:
    """Bind a deed to an action that takes ``by``, a day and the deed's id, and answers with a row.

    Args:
        name: of the deed.
        action: what writes it.
        row: what its answer is the number of, empty where it answers whether it wrote now or nothing.
        on: what the action calls the day, empty where it takes none.
        deed: whether the action takes the deed's id.
        take_back: what puts it right.
        **renamed: field -> what the action calls it.
    """
    names = _names(name, renamed)
    more = ("by", *([on] if on else ()), *(["deed"] if deed else ()))
    write = partial(_write_spell, action, names, row=row, on=on, deed=deed)
    return Bound(write, take_back, action, (*more, *names.values()))


def _write_spell(
    action: Callable[..., Any],
    names: Mapping[str, str],
    told: Told,
    values: Values,
    *,
    row: str,
    on: str,
    deed: bool,
) -> Wrote:
    given = _called(values, names) | {"by": told.by}
    if on:
        given[on] = park_day(told.happened_at)
    if deed:
        given["deed"] = told.id
    answer = action(**given)
    return Wrote(rows={row: answer}) if row else Wrote(answer is not False)


def _called(values: Values, names: Mapping[str, str]) -> dict[str, Any]:
    return {names[key]: value for key, value in values.items()}


def _names(deed_name: str, renamed: Mapping[str, str]) -> dict[str, str]:
    """What the action calls each field: ``bird_id`` for ``bird``, unless it is renamed."""
    names = {}
    for one in DEEDS[deed_name].fields:
        usual = f"{one.name}_id" if one.kind in _NAMED_BY_ID else one.name
        if one.kind in SEVERAL:
            usual = f"{SEVERAL[one.kind].value}_ids"
        names[one.name] = renamed.get(one.name, usual)
    return names
