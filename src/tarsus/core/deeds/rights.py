"""Who may do what: the roles, and what each may pass for. This stands nowhere else."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

VIEWER: Final = "viewer"
KEEPER: Final = "keeper"
LEAD: Final = "lead"
VET: Final = "vet"
RECORDS: Final = "records"
ADMINISTRATOR: Final = "administrator"

STANDS_FOR: Final = {
    VIEWER: frozenset({VIEWER}),
    KEEPER: frozenset({VIEWER, KEEPER}),
    LEAD: frozenset({VIEWER, KEEPER, LEAD}),
    VET: frozenset({VIEWER, KEEPER, VET}),
    RECORDS: frozenset({VIEWER, RECORDS}),
    # Whoever looks after the people can give any role anyway; what is the vet's stays the vet's.
    ADMINISTRATOR: frozenset({VIEWER, KEEPER, LEAD, RECORDS, ADMINISTRATOR}),
}
"""What each role may pass for. A role that is not here passes for nothing."""

ROLES: Final = tuple(STANDS_FOR)
RECORDING: Final = tuple(role for role in ROLES if role != VIEWER)
"""Roles that may record what they saw; a viewer only looks."""
OF_THE_OFFICE: Final = (VET, RECORDS, ADMINISTRATOR)
"""Roles of whom a park may want a second step of signing in: what they sign stands for the park."""


def passes_for(role: str, *roles: str) -> bool:
    """Whether a role may do what any one of `roles` may."""
    return not STANDS_FOR.get(role, frozenset()).isdisjoint(roles)


def in_words(roles: Iterable[str]) -> str:
    """The roles as a sentence names them: ``the vet``, ``keeper or records``."""
    named = [role for role in ROLES if role in frozenset(roles)]
    return "the vet" if named == [VET] else " or ".join(named)
