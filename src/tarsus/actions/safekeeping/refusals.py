"""What backing up and restoring can refuse."""

from __future__ import annotations

from tarsus.core.errors import MalformedInput


class NoBackup(MalformedInput):
    """A file that is no backup of a register, or a damaged one."""


class CannotKeep(MalformedInput):
    """A copy cannot be written there, or the register cannot be put aside."""


class RegisterInUse(MalformedInput):
    """The register is being served, so that nothing can be put in its place."""

    def __init__(self, where: str) -> None:
        super().__init__(where, "is being served or used; stop 'tarsus serve' and try again")
