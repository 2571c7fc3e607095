"""A deed: one act that changes the register, and everything that every face of it needs to know."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tarsus.core.deeds.fields import Field, Kind
from tarsus.core.deeds.rights import KEEPER, passes_for

LONGEST_NAME: Final = 30
LONGEST_REASON: Final = 300
"""Characters of a *because*, wherever one is asked for."""


@dataclass(frozen=True, slots=True)
class Deed:
    """One act that changes the register.

    `name`: the kind of fact. `title`: what its form is called. `told`: how a history tells it, a pattern for
    `telling.sentence`. `who_may`: roles; whoever passes for one of them may. `exactly`: those roles and none
    that stands for them. `offline`: a phone may do it without signal. `caution`: a key of
    `care.cautions.CAUTIONS`. `table`: where its row is. `asks_twice`: the form shows what it will write
    before it does. `final`: why it cannot be taken back, empty where it can. `when`: how the form asks when
    it was: ``day``, ``moment``, or empty for *now*. `page`: the page that does it better than a form.
    `partial`: what is left out stays as it is, and null empties it. `of_oneself`: it changes its teller's own
    account, so that no shared phone and no device tells it for somebody else.
    """

    name: str
    title: str
    fields: tuple[Field, ...]
    told: str
    who_may: tuple[str, ...]
    exactly: bool = False
    offline: bool = False
    caution: str = ""
    table: str = ""
    asks_twice: bool = False
    final: str = ""
    when: str = "day"
    page: str = ""
    partial: bool = False
    of_oneself: bool = False

    def __post_init__(self) -> None:
        assert len(self.name) <= LONGEST_NAME, self.name

    def allowed_to(self, role: str) -> bool:
        """Whether somebody of this role may do it."""
        return role in self.who_may if self.exactly else passes_for(role, *self.who_may)

    @property
    def of_keepers(self) -> bool:
        """Whether it is a keeper's deed: one that a shared phone or a device may tell."""
        return self.allowed_to(KEEPER) and not self.of_oneself

    @property
    def secrets(self) -> frozenset[str]:
        """The names of its fields that are kept nowhere as they were told.

        Passwords and PINs; pictures, that may say where they were taken; what may be taken away again.
        """
        kept_nowhere = (Kind.SECRET, Kind.PICTURE)
        return frozenset(field.name for field in self.fields if field.kind in kept_nowhere or field.apart)

    def field(self, name: str) -> Field:
        """The field of this name."""
        return next(field for field in self.fields if field.name == name)
