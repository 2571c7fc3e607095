"""What backing up and restoring can refuse."""

from __future__ import annotations

from collections.abc import Sequence

from tarsus.core.errors import MalformedInput


class NoBackup(MalformedInput):
    """A file that is no backup of a register, or a damaged one."""


class CannotKeep(MalformedInput):
    """A copy cannot be written there, or the register cannot be put aside."""


class RegisterDamaged(CannotKeep):
    """The register itself is damaged: a copy is no backup, and nothing is to be recorded in it."""

    def __init__(self, register: str, reason: str, good: Sequence[str], *, copying: bool = True) -> None:
        self.good = tuple(good)
        remedy = (
            f"tarsus restore {good[0]}" if good else "tarsus restore FILE, with the last backup that is whole"
        )
        super().__init__(
            register,
            f"is itself damaged ({reason}){', so no copy was kept' if copying else ''}; stop 'tarsus serve', "
            f"keep the file, and run: {remedy}",
        )


class RegisterInUse(MalformedInput):
    """The register is being served, so that nothing can be put in its place."""

    def __init__(self, where: str) -> None:
        super().__init__(where, "is being served or used; stop 'tarsus serve' and try again")
