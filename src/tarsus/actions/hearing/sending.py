"""One sending, and one fact of it made ready: parsed as its deed declares it, and admitted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID

from django.utils import timezone

from tarsus.actions.hearing.about import Reach, reach_of
from tarsus.actions.hearing.moments import question_of_time, register_begins
from tarsus.actions.hearing.speaking import Voices
from tarsus.actions.hearing.taking_back import earlier_deed
from tarsus.actions.refusals import Retold, SightingRetold, UnknownFact
from tarsus.actions.telling import Told, digest_of
from tarsus.core.deeds.days import refuse_days_of_another_age
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import LARGEST_ID
from tarsus.core.deeds.parsing import parse_deed, parse_id, parse_line, parse_moment
from tarsus.core.deeds.register import DEEDS, deed_named
from tarsus.core.documents.values import parse_object, parse_whole
from tarsus.core.errors import WrongValue
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.queries.days import park_zone
from tarsus.records.models import Colour

ENVELOPE: Final = ("id", "kind", "at", "by")
CORRECTING: Final = ("corrects", "why_corrected")
"""Keys by which any deed is told in place of an earlier one."""


@dataclass(slots=True)
class Sending:
    """What one batch has in common, until a fact of it changes the park's settings.

    `speaking`: asks in whose names the sender may tell. `known`: kind and digest by id of what was heard.
    """

    speaking: Callable[[], Voices]
    clock_offset: timedelta | None
    device: str
    known: dict[UUID, tuple[str, str]] = field(default_factory=dict)
    voices: Voices = field(init=False)
    palette: Palette | None = None
    begins: datetime | None = None

    def __post_init__(self) -> None:
        self.voices = self.speaking()

    def settings_anew(self) -> None:
        """Ask anew for what the park's settings say: who may tell what, colours, the zone of its days."""
        self.voices = self.speaking()
        self.palette = None
        timezone.activate(park_zone())

    def question(self, deed: Deed, told: Told) -> str:
        """What there is to ask about the time of a fact.

        The register's beginning is looked up once, and anew before anything is asked because of it: an
        arrival told in the batch may have moved it.
        """
        if self.begins is not None and not question_of_time(deed, told.happened_at, self.begins):
            return ""
        self.begins = register_begins()
        return question_of_time(deed, told.happened_at, self.begins)

    def colours(self) -> Palette:
        """The park's colours, asked for once."""
        if self.palette is None:
            self.palette = park_palette()
        return self.palette


@dataclass(frozen=True, slots=True)
class Ready:
    """A fact that may be written: what its deed says, and what it is about."""

    deed: Deed
    told: Told
    values: Mapping[str, Any]
    fact: Mapping[str, Any]
    contents: Mapping[str, Any]
    digest: str
    reach: Reach
    corrects: UUID | None
    why_corrected: str

    def known_in(self, sending: Sending) -> bool:
        """Whether it was heard before.

        Raises:
            Retold: the id names something else.
        """
        before = sending.known.get(self.told.id)
        if before is None:
            return False
        kind, digest = before
        if digest != self.digest:
            words = kind.replace("_", " ")
            raise (SightingRetold if kind == "sighting" else Retold)(self.told.id, words)
        return True


def told_of(fact_id: UUID, fact: Mapping[str, Any], sending: Sending) -> Ready:
    """Make a fact ready to be written.

    Raises:
        MalformedInput: whatever is wrong with it, with its place; or whoever tells it may not.
    """
    deed = deed_named(fact.get("kind"))
    parse_object(fact, "", required=("at", "by"))
    told = Told(
        id=fact_id,
        by=parse_whole(fact["by"], "by", 1, LARGEST_ID),
        at=parse_moment(fact["at"], "at"),
        clock_offset=sending.clock_offset,
        device=sending.device,
        sent_by=sending.voices.sent_by,
    )
    sending.voices.admit(told.by, deed, told.happened_at)
    of_device = sending.voices.exhibits is not None
    ready = ready_fact(deed, told, fact, sending.colours(), exhibits_too=of_device)
    admit_reach(ready, sending.voices)
    return ready


def admit_reach(ready: Ready, voices: Voices) -> None:
    """Let what a fact is about and what it corrects pass.

    Raises:
        MalformedInput: it is not theirs, or not of the exhibits that this device sends for.
    """
    if ready.corrects is not None:
        admit_correction(ready, voices)
    if voices.exhibits is not None:
        for exhibits in ready.reach.each:
            voices.admit_exhibits(exhibits)
        voices.admit_exhibits(ready.reach.everywhere())


def ready_fact(
    deed: Deed, told: Told, fact: Mapping[str, Any], palette: Palette, *, exhibits_too: bool = False
) -> Ready:
    """A fact of which it is known who tells it, parsed as its deed declares it.

    Raises:
        MalformedInput: whatever is wrong with a value, with its place.
    """
    own = {one.name for one in deed.fields}
    envelope = (*ENVELOPE, *(key for key in CORRECTING if key not in own))
    values = parse_deed(deed, fact, envelope, palette)
    refuse_days_of_another_age(deed.fields, values, timezone.localdate(), told.at - told.happened_at)
    corrects = values.get("corrects") or _corrects(fact)
    contents = {key: fact[key] for key in own - deed.secrets if fact.get(key) is not None}
    said = {"kind": deed.name, "at": told.at.timestamp(), "by": told.by, **contents}
    if corrects is not None:
        said["corrects"] = str(corrects)
    return Ready(
        deed,
        told,
        values,
        fact,
        contents,
        digest_of(said),
        reach_of(deed, values, corrects, exhibits_too=exhibits_too),
        corrects,
        "" if "corrects" in own else _why(fact, corrects),
    )


def _corrects(fact: Mapping[str, Any]) -> UUID | None:
    said = fact.get("corrects")
    return None if said is None else parse_id(said, "corrects")


def _why(fact: Mapping[str, Any], corrects: UUID | None) -> str:
    if corrects is None:
        if fact.get("why_corrected") is not None:
            raise WrongValue("corrects", "is missing; say what was wrong before")
        return ""
    return parse_line(fact.get("why_corrected") or "", "why_corrected", LONGEST_REASON).strip()


def admit_correction(ready: Ready, voices: Voices) -> None:
    """Let a correction pass: what somebody may not do, they may not take back either.

    Raises:
        MayNotSpeak, NotTheirs: the deed that is corrected is not theirs.
        WrongValue: it is corrected by a deed of another kind.
    """
    assert ready.corrects is not None
    try:
        earlier = earlier_deed(ready.corrects)
    except UnknownFact:
        return  # it waits for that one, and is looked at again when it is written
    if earlier.kind in DEEDS:
        voices.admit(ready.told.by, DEEDS[earlier.kind], ready.told.happened_at)
    if ready.deed.name not in ("withdrawn", earlier.kind):
        was = earlier.kind.replace("_", " ")
        raise WrongValue("corrects", f"names a {was}; correct it by another, or withdraw it")


def park_palette() -> Palette:
    """The park's colours, the built-in ones until it has its own."""
    colours = dict(Colour.objects.order_by("order", "id").values_list("name", "hex"))
    return Palette.of(colours) if colours else BUILT_IN
