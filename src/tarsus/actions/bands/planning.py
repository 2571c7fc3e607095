"""Keeping marks at the marking desk, taking them back, and knowing when a bird wears them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from tarsus.actions.birds.stays import park_day
from tarsus.actions.known import known, known_bird, known_person
from tarsus.actions.refusals import AlreadySo
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.fitting import is_fitted
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.sites import SITES
from tarsus.queries.kept_marks import WAITS, steps_of
from tarsus.records.models import Colour, PlannedMarks


@transaction.atomic
def keep_marks(*, bird_id: int, marks: Mapping[str, Sequence[str]], by: int, because: str = "") -> int:
    """Keep marks for a bird; they wait for its next handling. Kept twice alike, they are kept once.

    Marks that waited for it before are dropped and stay in the record.

    Returns:
        The id of what is kept.

    Raises:
        Unknown: no such bird or person.
        UnknownWord: no such site or colour.
        WrongValue: no marks at all.
    """
    known_bird(bird_id)
    known_person(by)
    wanted = _parsed(marks).as_mapping()
    open_ = PlannedMarks.objects.filter(WAITS, bird_id=bird_id)
    before = open_.first()
    if before is not None and before.marks == wanted:
        return before.pk
    open_.update(dropped_at=timezone.now(), ended_by_id=by)
    return PlannedMarks.objects.create(
        bird_id=bird_id, marks=wanted, because=because[:200], planned_by_id=by
    ).pk


@transaction.atomic
def drop_marks(*, planned_id: int, by: int) -> None:
    """Take marks back that wait; the record keeps that they were planned.

    Raises:
        Unknown: nothing of this id was planned.
        AlreadySo: they were fitted or taken back before.
    """
    known_person(by)
    row = known(PlannedMarks, planned_id, "planned marks")
    if row.fitted_at is not None or row.dropped_at is not None:
        raise AlreadySo("planned marks", "they no longer wait; look at the bird's page")
    row.dropped_at, row.ended_by_id = timezone.now(), by
    row.save(update_fields=["dropped_at", "ended_by"])


@transaction.atomic
def settle_kept_marks(*, bird_id: int, at: datetime, by: int) -> bool:
    """Let kept marks count as fitted once the bird wears them, whoever fitted them, and in whatever act.

    Returns:
        Whether they are fitted now.
    """
    plan = PlannedMarks.objects.filter(WAITS, bird_id=bird_id).select_related("bird__species").first()
    if plan is None or not is_fitted(steps_of(plan, park_day(at))):
        return False
    plan.fitted_at, plan.ended_by_id = at, by
    plan.save(update_fields=["fitted_at", "ended_by"])
    return True


@transaction.atomic
def reopen_kept_marks(*, bird_id: int, at: datetime, since: date) -> bool:
    """Let kept marks wait again where what had fitted them was taken back as a mistake.

    Args:
        bird_id: whose.
        at: when it was taken back.
        since: the day of what was taken back; marks that were fitted before it stay fitted.

    Returns:
        Whether they wait again.
    """
    last = (
        PlannedMarks.objects.filter(bird_id=bird_id).select_related("bird__species").order_by("-pk").first()
    )
    if last is None or last.fitted_at is None or park_day(last.fitted_at) < since:
        return False
    if is_fitted(steps_of(last, park_day(at))):
        return False
    last.fitted_at, last.ended_by = None, None
    last.save(update_fields=["fitted_at", "ended_by"])
    return True


def _parsed(marks: Mapping[str, Sequence[str]]) -> Marks:
    known_bands = {METAL, *Colour.objects.values_list("name", flat=True)}
    for site, bands in marks.items():
        if site not in SITES:
            raise UnknownWord("marks", site, "site", SITES)
        for band in bands:
            if band not in known_bands:
                raise UnknownWord("marks", band, "colour of the palette", sorted(known_bands))
    parsed = Marks.of(marks)
    if not parsed.sites:
        raise WrongValue("marks", "no bands are given; choose some, or leave the bird as it is")
    return parsed
