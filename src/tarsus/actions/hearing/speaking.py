"""In whose name a session or a device may tell which deed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tarsus.actions.refusals import MayNotSpeak, NotForExhibit, NotTheirs
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.rights import KEEPER, RECORDING, VIEWER, in_words
from tarsus.records.models import DeviceToken, Park, Person


@dataclass(frozen=True, slots=True)
class Voices:
    """The people in whose names this session or device may record, and the exhibits it may send for.

    `roles` is by person. `exhibits` is `None` where it may send for all of them. `sent_by` is the person
    signed in, if any.
    """

    roles: Mapping[int, str]
    exhibits: frozenset[int] | None
    sent_by: int | None
    why_not: str

    def admit(self, by: int, deed: Deed) -> None:
        """Let a deed in this person's name pass.

        Raises:
            MayNotSpeak: not in that person's name, or not this deed: what is more than a keeper's is told in
                a session of one's own.
            NotTheirs: people of that role do not do this.
        """
        if by not in self.roles:
            raise MayNotSpeak(by, self.why_not)
        if by != self.sent_by and not deed.of_keepers:
            raise MayNotSpeak(by, f"'{deed.name}' is told in a session of one's own; sign in as that person")
        if self.roles[by] == VIEWER and not deed.allowed_to(VIEWER):
            raise MayNotSpeak(by, "that person may look and not record")
        if not deed.allowed_to(self.roles[by]):
            raise NotTheirs(deed.name, in_words(deed.who_may))

    def admit_exhibits(self, exhibits: frozenset[int]) -> None:
        """Let a deed about these exhibits pass; one of which nobody can say the exhibit does not.

        Raises:
            NotForExhibit: this device does not send for one of them.
        """
        if self.exhibits is None:
            return
        if not exhibits or not exhibits <= self.exhibits:
            raise NotForExhibit(min(exhibits - self.exhibits, default=None))


def voices_of_session(speaker: int) -> Voices:
    """In whose names the phone of a signed-in person may record.

    Its own always; on a shared phone, which the park may allow, a keeper's may record for other keepers: the
    phone is handed over without signing in anew, and each line keeps both the person who acted and the one
    signed in.
    """
    shared = Park.objects.values_list("shared_phones", flat=True).first() is not False
    working = Person.objects.filter(is_active=True)
    roles = dict(working.filter(pk=speaker).values_list("pk", "role"))
    if shared and roles.get(speaker) == KEEPER:
        roles |= dict(working.filter(role=KEEPER).values_list("pk", "role"))
    return Voices(roles, None, speaker, "sign in as that person")


def voices_of_device(token: DeviceToken) -> Voices:
    """In whose names a device may record: those named with its token, for the exhibits named with it."""
    people = token.people.filter(is_active=True, role__in=RECORDING)
    exhibits = frozenset(token.exhibits.values_list("pk", flat=True))
    return Voices(
        dict(people.values_list("pk", "role")), exhibits, None, "this device may not speak for that person"
    )
