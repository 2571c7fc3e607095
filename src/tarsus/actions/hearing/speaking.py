"""In whose name a session or a device may record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tarsus.actions.refusals import MayNotSpeak, NotForExhibit
from tarsus.records.models import DeviceToken, Park, Person
from tarsus.records.models.words import Role

RECORDING = (Role.KEEPER, Role.LEAD, Role.VET, Role.RECORDS, Role.ADMINISTRATOR)
"""Roles that may record what they saw; a viewer only looks."""


@dataclass(frozen=True, slots=True)
class Voices:
    """The people in whose names this session or device may record, and the exhibits it may send for.

    `exhibits` is `None` where it may send for all of them. `sent_by` is the person signed in, if any.
    """

    people: frozenset[int]
    exhibits: frozenset[int] | None
    sent_by: int | None
    why_not: str

    def admit(self, by: int) -> None:
        """Let a fact in this person's name pass.

        Raises:
            MayNotSpeak: not in that person's name.
        """
        if by not in self.people:
            raise MayNotSpeak(by, self.why_not)

    def admit_exhibit(self, exhibit_id: int | None) -> None:
        """Let a fact about this exhibit pass; one of which nobody can say the exhibit does not.

        Raises:
            NotForExhibit: this device does not send for it.
        """
        if self.exhibits is not None and exhibit_id not in self.exhibits:
            raise NotForExhibit(exhibit_id)


def voices_of_session(speaker: int) -> Voices:
    """In whose names the phone of a signed-in person may record.

    Its own always; on a shared phone, which the park may allow, everybody who may record: the phone is handed
    over without signing in anew, and each line keeps both the person who acted and the one signed in.
    """
    shared = Park.objects.values_list("shared_phones", flat=True).first()
    recording = Person.objects.filter(is_active=True, role__in=RECORDING)
    if not recording.filter(pk=speaker).exists():
        return Voices(frozenset(), None, speaker, "the person signed in may look and not record")
    people: Iterable[int] = [speaker] if shared is False else recording.values_list("pk", flat=True)
    why = "choose a person who works here" if shared is not False else "sign in as that person"
    return Voices(frozenset(people), None, speaker, why)


def voices_of_device(token: DeviceToken) -> Voices:
    """In whose names a device may record: those named with its token, for the exhibits named with it."""
    people = token.people.filter(is_active=True, role__in=RECORDING).values_list("pk", flat=True)
    exhibits = frozenset(token.exhibits.values_list("pk", flat=True))
    return Voices(frozenset(people), exhibits, None, "this device may not speak for that person")
