"""Bringing in a list, such as weights or old rounds: facts, through the one door.

Each line is told with the day on which it happened, under an id that follows from what it says: the same list
again tells nothing twice, and a server that is killed goes on where it stopped when the list comes again.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from django.db import transaction
from django.utils import timezone

from tarsus.actions.facts import AT_A_FORM, REFUSED, WRITTEN, Answer, hear_facts
from tarsus.actions.imports import NothingBroughtIn, close_mended, keep_refused, known_importer
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import in_words
from tarsus.core.errors import MalformedInput
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.lists import facts_heard, found_at, list_known, nest_of
from tarsus.records.models import ImportBatch
from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.list_asked import ListLine, ListPlan
from tarsus.tables.list_kinds import ListKind
from tarsus.tables.list_plan import facts_of, plan_list
from tarsus.tables.rows import Refusal, Sheet

_AT_ONCE: Final = 500
"""Lines told in one transaction: few enough that nobody at the register waits long."""
_ROUNDS_AT_ONCE: Final = 20
_WHOLE: Final = ("ticks", "rounds")
"""Kinds of which several facts hold together, told whole or not at all."""
_CLOSING: Final = "round_closed"
_MORE: Final = ("hatched", "fledged")
"""Events that say how many more, where eggs say how many there are."""
_LEADS: Final = {"at": "on", "weight_g": "weight", "bird": "bird", "event": "eggs", "counted": "amount"}
_LEADS_TOO: Final = {"by_amount": "amount", "name": "nest", "from_on": "begun", "test": "sample"}


class ListAsked(MalformedInput):
    """What a list must be told once for the whole file, and was not."""

    def __init__(self, plan: ListPlan) -> None:
        self.plan = plan
        super().__init__("", "; ".join(f"{one.text} Say it with {one.say}" for one in plan.pressing))


class MayNotTell(MalformedInput):
    """Somebody brings in a list of what people of their role do not tell."""

    def __init__(self, kind: str, who: str) -> None:
        super().__init__("by", f"a list of {kind} is brought in by {who}; ask one of them")


@dataclass(frozen=True, slots=True)
class ListBrought:
    """What an import of a list did: its number, how many lines were told, and its plan with every refusal."""

    batch_id: int
    told: int
    plan: ListPlan
    refused: tuple[Refusal, ...]


def planned_list(
    sheet: Sheet,
    columns: Columns,
    kind: ListKind,
    choices: Choices,
    progress: Callable[[int], None] = lambda _: None,
) -> ListPlan:
    """What every line of a list would tell now; nothing is written."""
    known = list_known(timezone.now(), rounds=bool(kind.many))
    return plan_list(sheet, columns, kind, choices, known, lambda ids: facts_heard(ids, kind.deeds), progress)


def refuse_stranger(by: int, kind: ListKind) -> None:
    """Refuse a list of what people of somebody's role do not tell.

    Raises:
        MayNotImport, MayNotTell: the person's role does not allow it.
    """
    person = known_importer(by)
    for deed in kind.deeds:
        if not DEEDS[deed].allowed_to(person.role):
            raise MayNotTell(kind.name, in_words(DEEDS[deed].who_may))


def bring_list_in(
    *,
    sheet: Sheet,
    columns: Columns,
    kind: ListKind,
    choices: Choices,
    file_name: str,
    digest: str,
    by: int,
    mapping_id: int | None = None,
    all_or_nothing: bool = False,
    progress: Callable[[int], None] = lambda _: None,
) -> ListBrought:
    """Tell what the good lines of a list say, and keep the refused ones to be mended.

    `progress` hears 1 for each line that was looked at, and 1 for each that was told.

    Raises:
        MayNotImport, MayNotTell: the person's role does not allow it.
        ListAsked: what holds for every line was not said.
        NothingBroughtIn: `all_or_nothing`, and some line is refused.
    """
    refuse_stranger(by, kind)
    plan = planned_list(sheet, columns, kind, choices, progress)
    if plan.pressing:
        raise ListAsked(plan)
    progress = _spread(progress, len(plan.lines), len(sheet.rows))
    if all_or_nothing:
        with transaction.atomic():
            told, late = tell_lines(plan.lines, kind, columns, by, progress)
            if plan.refused or late:
                raise NothingBroughtIn((*plan.refused, *late))
    else:
        told, late = tell_lines(plan.lines, kind, columns, by, progress)
    refused = tuple(sorted((*plan.refused, *late), key=lambda one: one.line))
    batch = _kept(file_name, digest, mapping_id, all_or_nothing, told, refused, sheet, plan, by)
    bad = {one.line for one in refused}
    close_mended(sheet, {line: None for line in plan.good_lines if line not in bad}, by, timezone.now())
    return ListBrought(batch.pk, told, plan, refused)


def _spread(progress: Callable[[int], None], told: int, lines: int) -> Callable[[int], None]:
    """Hear of what was told as if it were lines: of ticks days are told, and lines were looked at."""
    done = heard = 0

    def hear(more: int) -> None:
        nonlocal done, heard
        done += more
        now = lines * done // told
        progress(now - heard)
        heard = now

    return hear


def tell_lines(
    lines: Sequence[ListLine], kind: ListKind, columns: Columns, by: int, progress: Callable[[int], None]
) -> tuple[int, list[Refusal]]:
    """Tell lines in parts, each a transaction.

    Returns:
        How many were told, and what the door refused.
    """
    told, refused = 0, []
    closings: list[tuple[ListLine, dict[str, Any]]] = []
    step = _AT_ONCE if kind.name not in _WHOLE else _ROUNDS_AT_ONCE
    for begin in range(0, len(lines), step):
        part = lines[begin : begin + step]
        for line, answer in _told_together(part, kind, by):
            if answer.outcome == REFUSED:
                refused += _refusals(line, answer, columns)
            else:
                told += 1
                closings += [(line, one) for one in facts_of(line, by) if one["kind"] == _CLOSING]
        progress(len(part))
    for begin in range(0, len(closings), _AT_ONCE):
        last = closings[begin : begin + _AT_ONCE]
        answers = hear_facts(facts=[one for _, one in last], clock=None, device=AT_A_FORM, speaker=by)
        for (line, _), answer in zip(last, answers, strict=True):
            refused += _refusals(line, answer, columns) if answer.outcome == REFUSED else []
    return told, refused


def _told_together(part: Sequence[ListLine], kind: ListKind, by: int) -> Iterator[tuple[ListLine, Answer]]:
    if kind.name in _WHOLE:
        yield from _told_whole(part, by)
        return
    if kind.name != "nests":
        facts = [facts_of(line, by)[0] for line in part]
        answers = hear_facts(facts=facts, clock=None, device=AT_A_FORM, speaker=by)
        yield from zip(part, answers, strict=True)
        return
    for line in part:
        yield line, _nest_told(line, by)


def _told_whole(part: Sequence[ListLine], by: int) -> Iterator[tuple[ListLine, Answer]]:
    """Tell rounds, each whole or not at all: many together, and one by one where something is refused.

    Without their closings, which come after all: each would carry the watch forward, and from it all anew. A
    server that is killed in between leaves rounds open that miss nobody, and the list closes them when it
    comes again.
    """

    def unclosed(line: ListLine) -> list[dict[str, Any]]:
        return [one for one in facts_of(line, by) if one["kind"] != _CLOSING]

    begin = 0
    while begin < len(part):
        end, facts = begin, list[dict[str, Any]]()
        while end < len(part) and (not facts or len(facts) + len(part[end].ids) <= _AT_ONCE):
            facts += unclosed(part[end])
            end += 1
        bad = _told_or_taken_back(facts, by)
        for line in part[begin:end]:
            against = bad if bad is None or end - begin == 1 else _told_or_taken_back(unclosed(line), by)
            yield line, against or Answer(str(line.ids[0]), WRITTEN)
        begin = end


def _told_or_taken_back(facts: Sequence[dict[str, Any]], by: int) -> Answer | None:
    """Tell all of these facts, or none of them: the first answer against one."""
    with transaction.atomic():
        answers = hear_facts(facts=facts, clock=None, device=AT_A_FORM, speaker=by)
        bad = next((one for one in answers if one.outcome == REFUSED), None)
        if bad is not None:
            transaction.set_rollback(True)
    return bad


def _nest_told(line: ListLine, by: int) -> Answer:
    """Tell a nest and what was found in it, whole or not at all."""
    begin, *found = facts_of(line, by)
    with transaction.atomic():
        (answer,) = hear_facts(facts=[begin], clock=None, device=AT_A_FORM, speaker=by)
        if answer.outcome == REFUSED:
            return answer
        nest = nest_of(line.ids[0])
        before = frozenset(map(str, facts_heard(line.ids[1:], ())))
        new = [{**one, "nest": nest} for one in found if one["id"] not in before]
        new, against = _beside_what_stands(found_at(nest) if nest else frozenset(), new)
        if against is not None:
            transaction.set_rollback(True)
            return against
        if (bad := _told_or_taken_back(new, by)) is not None:
            transaction.set_rollback(True)
            return bad
    return Answer(str(line.ids[0]), WRITTEN)


def _beside_what_stands(
    there: Collection[tuple[str, date, int | None]], found: list[dict[str, Any]]
) -> tuple[list[dict[str, Any]], Answer | None]:
    """What is new to a nest, and an answer against the first that says otherwise what was told.

    Hatched and fledged are how many more: told again with another number or day they would be added up.
    """
    zone = park_zone()
    new = []
    for one in found:
        event = one.get("event", "")
        told = [(day, amount) for kind, day, amount in there if kind == event and event in _MORE]
        if (day_of(datetime.fromisoformat(one["at"]), zone), one.get("amount")) in told:
            continue
        if told:
            already = " and ".join(f"{amount} on {day}" for day, amount in sorted(told, key=str))
            reason = f"{already} were told of this nest before; correct it at the nest, or leave the line out"
            return [], Answer(one["id"], REFUSED, reason, event)
        new.append(one)
    return new, None


def _refusals(line: ListLine, answer: Answer, columns: Columns) -> list[Refusal]:
    """What the door said against a line, in the column that its field came from; of ticks at each sign."""
    field = {**_LEADS, **_LEADS_TOO}.get(answer.place, answer.place)
    said = answer.reason.removeprefix(f"{answer.place}: ")
    reason, _, remedy = said.partition("; ")
    if line.row is None:
        return [Refusal(at, heading, reason, remedy, sheet) for at, heading, sheet in line.cells]
    return [Refusal(line.line, columns.by_field.get(field, field), reason, remedy, line.row.sheet)]


@transaction.atomic
def _kept(
    file_name: str,
    digest: str,
    mapping_id: int | None,
    all_or_nothing: bool,
    told: int,
    refused: Sequence[Refusal],
    sheet: Sheet,
    plan: ListPlan,
    by: int,
) -> ImportBatch:
    batch = ImportBatch.objects.create(
        file_name=file_name[:200],
        digest=digest,
        mapping_id=mapping_id,
        all_or_nothing=all_or_nothing,
        rows_in=told,
        rows_refused=len({one.line for one in refused}),
        warnings=[f"line {one.line}: {one.text}" for one in plan.remarks],
        by_id=by,
    )
    keep_refused(batch, refused, sheet.rows)
    return batch
