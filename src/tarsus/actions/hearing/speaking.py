"""In whose name a session or a device may tell which deed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

from tarsus.actions.hearing.moments import AHEAD
from tarsus.actions.refusals import MayNotSpeak, NotForExhibit, NotTheirs
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.rights import KEEPER, RECORDING, VIEWER, in_words
from tarsus.records.models import DeviceToken, Handover, Park, Person

IN_HAND: Final = timedelta(hours=16)
"""How long a phone is in the hands of whoever took it: a working day, a long one. Common practice."""


@dataclass(frozen=True, slots=True)
class Voices:
    """The people in whose names this session or device may record, and the exhibits it may send for.

    `roles` is by person. `exhibits` is `None` where it may send for all of them. `sent_by` is the person
    signed in, if any; whoever else has a session's phone took it in hand at one of `taken`, by their PIN.
    `token` is the device's.
    """

    roles: Mapping[int, str]
    exhibits: frozenset[int] | None
    sent_by: int | None
    why_not: str
    taken: Mapping[int, tuple[datetime, ...]] = field(default_factory=dict)
    token: int | None = None

    def admit(self, by: int, deed: Deed, at: datetime) -> None:
        """Let a deed in this person's name pass.

        Raises:
            MayNotSpeak: not in that person's name, not at that time, or not this deed: what is more than a
                keeper's is told in a session of one's own.
            NotTheirs: people of that role do not do this.
        """
        if by not in self.roles:
            raise MayNotSpeak(by, self.why_not)
        if by != self.sent_by and not deed.of_keepers:
            raise MayNotSpeak(by, f"'{deed.name}' is told in a session of one's own; sign in as that person")
        if self.sent_by not in (None, by) and not self._in_hand(by, at):
            raise MayNotSpeak(
                by, "they had not taken this phone in hand by their PIN; hand it over, or sign in"
            )
        if self.roles[by] == VIEWER and not deed.allowed_to(VIEWER):
            raise MayNotSpeak(by, "that person may look and not record")
        if not deed.allowed_to(self.roles[by]):
            raise NotTheirs(deed.name, in_words(deed.who_may))

    def _in_hand(self, by: int, at: datetime) -> bool:
        return any(taken - AHEAD <= at <= taken + IN_HAND for taken in self.taken.get(by, ()))

    def admit_exhibits(self, exhibits: frozenset[int]) -> None:
        """Let a deed about these exhibits pass; one of which nobody can say the exhibit does not.

        Raises:
            NotForExhibit: this device does not send for one of them.
        """
        if self.exhibits is None:
            return
        if not exhibits or not exhibits <= self.exhibits:
            raise NotForExhibit(min(exhibits - self.exhibits, default=None))


def voices_of_session(speaker: int, device: str) -> Voices:
    """In whose names the phone of a signed-in person may record.

    Its own always. Where the park shares phones, a keeper's goes to another keeper who confirms that by their
    PIN; each line keeps both the person who acted and the one signed in.
    """
    working = Person.objects.filter(is_active=True)
    roles = dict(working.filter(pk=speaker).values_list("pk", "role"))
    taken: dict[int, tuple[datetime, ...]] = {}
    if roles.get(speaker) == KEEPER and Park.objects.filter(shared_phones=True).exists():
        for by, at in Handover.objects.filter(
            device=device, given_by=speaker, by_pin=True, taken_by__role=KEEPER, taken_by__is_active=True
        ).values_list("taken_by", "at"):
            taken[by] = (*taken.get(by, ()), at)
        roles |= dict.fromkeys(taken, KEEPER)
    return Voices(roles, None, speaker, "hand the phone over by their PIN, or sign in as that person", taken)


def voices_of_device(token: DeviceToken) -> Voices:
    """In whose names a device may record: those named with its token, for the exhibits named with it."""
    people = token.people.filter(is_active=True, role__in=RECORDING)
    exhibits = frozenset(token.exhibits.values_list("pk", flat=True))
    why_not = "this device may not speak for that person"
    return Voices(dict(people.values_list("pk", "role")), exhibits, None, why_not, token=token.pk)
