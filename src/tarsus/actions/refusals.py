"""What a deed can refuse, as leaves of the one tree in `tarsus.core.errors`.

MalformedInput
├── Unknown                   an id that the register has not: bird, exhibit, place, person …
├── Retold                    the same id was told before with other contents
│   └── SightingRetold
├── OutOfOrder                days or numbers that cannot follow one another
├── NotThere                  the bird is not where the deed needs it
├── HeldInQuarantine          the vet has not let the bird out yet
├── AlreadySo                 the deed was done before
├── MayNotSpeak               nobody may speak for this person here
├── NotTheirs                 people of this role do not do this
├── WrongPin                  the PIN is not that person's
├── NotForExhibit             this device does not send for that exhibit
└── AskedAbout                kept as a question until somebody says what it is of
NoAnswer
└── LeansOnUnheard            the fact leans on one that has not been heard yet
    ├── UnknownRound
    └── UnknownFact
"""

from __future__ import annotations

from uuid import UUID

from tarsus.core.errors import MalformedInput, NoAnswer


class Unknown(MalformedInput):
    """An id that the register has not."""

    def __init__(self, place: str, kind: str, key: object) -> None:
        self.kind, self.key = kind, key
        super().__init__(place, f"no {kind} {key} is in this register; choose another {kind}")


class Retold(MalformedInput):
    """The same id was told before with other contents."""

    def __init__(self, fact_id: UUID, kind: str) -> None:
        self.fact_id, self.kind = fact_id, kind
        super().__init__(
            "id",
            f"{fact_id} already names a {kind} with other contents; record the correction under a new id",
        )


class SightingRetold(Retold):
    """The same sighting was told before with other contents."""


class OutOfOrder(MalformedInput):
    """Days or numbers that cannot follow one another."""


class NotThere(MalformedInput):
    """The bird is not where the deed needs it to be."""


class HeldInQuarantine(MalformedInput):
    """The vet has not let the bird out of quarantine yet."""


class AlreadySo(MalformedInput):
    """What is asked for is so already, or was done before."""


class MayNotSpeak(MalformedInput):
    """This session or device may not record in that person's name."""

    def __init__(self, person_id: object, why: str) -> None:
        self.person_id = person_id
        super().__init__("by", f"nothing is recorded here for person {person_id}: {why}")


class WrongPin(MalformedInput):
    """The PIN is not that person's."""

    def __init__(self, person_id: int) -> None:
        self.person_id = person_id
        super().__init__("pin", "this is not their PIN; nothing changed hands")


class NotTheirs(MalformedInput):
    """People of this role do not do this."""

    def __init__(self, deed: str, who_may: str) -> None:
        self.deed, self.who_may = deed, who_may
        super().__init__("kind", f"'{deed}' is for {who_may}; ask one of them")


class NotForExhibit(MalformedInput):
    """This device does not send for that exhibit."""

    def __init__(self, exhibit_id: int | None) -> None:
        self.exhibit_id = exhibit_id
        which = "an exhibit that is not known yet" if exhibit_id is None else f"exhibit {exhibit_id}"
        super().__init__("exhibit", f"this device does not send for {which}; sign in on a phone instead")


class AskedAbout(MalformedInput):
    """It cannot be written as things stand, and somebody can say how: it is kept as a question."""


class LeansOnUnheard(NoAnswer):
    """The fact leans on one that has not been heard yet; `needs` is the id it waits for."""

    def __init__(self, place: str, needs: UUID, message: str) -> None:
        self.place, self.needs = place, needs
        super().__init__(f"{place}: {message}")


class UnknownRound(LeansOnUnheard):
    """No round has this id, so its start was not heard yet or the phone is not of this park."""

    def __init__(self, round_id: UUID) -> None:
        super().__init__("round", round_id, f"no round {round_id} is known here; send its start first")


class UnknownFact(LeansOnUnheard):
    """No fact has this id yet."""

    def __init__(self, place: str, fact_id: UUID, kind: str) -> None:
        super().__init__(place, fact_id, f"no {kind} {fact_id} is known here; send it first")
