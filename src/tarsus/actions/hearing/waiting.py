"""Facts that came before the fact they lean on: kept, and written when that one arrives.

Decision 0009.
"""

from __future__ import annotations

import logging
from datetime import timedelta
from typing import Final
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef
from django.utils import timezone

from tarsus.actions.hearing.ledger import write_deed
from tarsus.actions.hearing.sending import Ready, admit_reach, park_palette, ready_fact
from tarsus.actions.hearing.speaking import Voices, voices_of_device, voices_of_session
from tarsus.actions.refusals import LeansOnUnheard, Retold
from tarsus.actions.telling import Told
from tarsus.core.deeds.parsing import parse_moment
from tarsus.core.deeds.register import deed_named
from tarsus.core.errors import TarsusError
from tarsus.queries.days import park_zone
from tarsus.records.models import Person, Round, ToldDeed, Waiting

_LOG: Final = logging.getLogger(__name__)


def kept_already(ready: Ready) -> Waiting | None:
    """The fact as it is kept already, if it is.

    Raises:
        Retold: the id names something else that is kept.
    """
    kept = Waiting.objects.filter(pk=ready.told.id).first()
    if kept is not None and kept.told != ready.digest:
        raise Retold(ready.told.id, kept.kind.replace("_", " "))
    return kept


def keep_waiting(ready: Ready, needs: UUID, token: int | None, question: str = "") -> None:
    """Keep a fact until the one it leans on arrives; with a `question`, until somebody answers that."""
    told = ready.told
    offset = told.clock_offset
    Waiting.objects.create(
        id=told.id,
        needs=needs,
        kind=ready.deed.name,
        contents=dict(ready.fact),
        told=ready.digest,
        sent_by_id=told.sent_by,
        device=told.device,
        token_id=token,
        clock_offset_s=None if offset is None else offset.total_seconds(),
        reason=question,
    )


def release_waiting(ready: Ready) -> None:
    """Write the facts that waited for this one, and for the round it made known."""
    needed = [ready.told.id]
    if ready.deed.name in ("round_started", "round_not_done"):
        needed.append(ready.values["round"])
    for kept in list(Waiting.objects.filter(needs__in=needed).order_by("received_at", "id")):
        _write_kept(kept)


def release_arrived() -> None:
    """Write the facts whose turn came while another connection was writing what they lean on.

    Each of two connections sees what the other wrote only once it is committed: one keeps a fact, the other
    finds nothing that waits. So it is looked again after each batch, and when a server starts, since one may
    have been killed in between. What cannot be written for a fault of ours goes on waiting.
    """
    told = ToldDeed.objects.filter(pk=OuterRef("needs"))
    begun = Round.objects.filter(pk=OuterRef("needs"))
    arrived = Waiting.objects.filter(Exists(told) | Exists(begun), reason="").order_by("received_at", "id")
    if not arrived.exists():
        return
    # Beside the requests no page and no door has said whose days these are.
    with timezone.override(park_zone()), transaction.atomic():
        # Another process may be at some of them.
        for kept in list(arrived.select_for_update(skip_locked=True)):
            try:
                with transaction.atomic():
                    _write_kept(kept)
            except Exception:
                _LOG.exception("fact %s waits on: it could not be written", kept.pk)


def _voices_of(kept: Waiting, told: Told) -> Voices:
    """In whose name a kept fact was told, as it is now: a session's, or a device's."""
    if kept.sent_by_id is not None:
        return voices_of_session(kept.sent_by_id, kept.device)
    if kept.token is not None:
        return voices_of_device(kept.token)
    roles = dict(Person.objects.filter(pk=told.by, is_active=True).values_list("pk", "role"))
    return Voices(roles, None, None, "that person has left")


def _write_kept(kept: Waiting) -> None:
    fact = kept.contents
    offset = kept.clock_offset_s
    told = Told(
        id=kept.pk,
        by=int(fact["by"]),
        at=parse_moment(fact["at"], "at"),
        clock_offset=None if offset is None else timedelta(seconds=offset),
        device=kept.device,
        sent_by=kept.sent_by_id,
    )
    try:
        with transaction.atomic():
            voices, deed = _voices_of(kept, told), deed_named(kept.kind)
            of_device = voices.exhibits is not None
            ready = ready_fact(deed, told, fact, park_palette(), exhibits_too=of_device)
            if kept.sent_by_id is not None or of_device:
                voices.admit(told.by, deed, told.happened_at)
            admit_reach(ready, voices)
            write_deed(ready)
    except LeansOnUnheard as missing:
        kept.needs = missing.needs
        kept.save(update_fields=["needs"])
        return
    except (TarsusError, IntegrityError) as refusal:
        kept.reason = str(refusal)[:400]
        kept.save(update_fields=["reason"])
        return
    kept.delete()
    release_waiting(ready)
