"""Counts kept side by side: where two keepers counted differently both stand until somebody counts again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tarsus.core.rounds.facts import Counted, in_time


@dataclass(frozen=True, slots=True)
class Counts:
    """The counts of one look-alike group that stand in a roll call, in order of time.

    `differ` says that they are not one number; then the lower speaks for a shortfall.
    """

    lookalike: str
    told: tuple[Counted, ...]

    @property
    def lowest(self) -> Counted:
        """The count that speaks for a shortfall; of equal ones the latest."""
        return min(reversed(self.told), key=lambda one: one.counted)

    @property
    def differ(self) -> bool:
        """Whether two keepers counted differently and nobody has counted again since."""
        return len({one.counted for one in self.told}) > 1


def counts_standing(counts: Iterable[Counted]) -> dict[str, Counts]:
    """The counts that stand of each look-alike group.

    A keeper's later count takes the place of the same keeper's earlier one. Where another keeper counted
    another number both stand, and the next count, whoever's, settles it.

    Args:
        counts: of one roll call, in any order.

    Returns:
        Group -> its counts, groups in the alphabet's order.
    """
    standing: dict[str, list[Counted]] = {}
    for count in sorted(counts, key=in_time):
        before = standing.get(count.lookalike, [])
        standing[count.lookalike] = [*_beside(before, count), count]
    return {name: Counts(name, tuple(standing[name])) for name in sorted(standing)}


def _beside(before: list[Counted], count: Counted) -> list[Counted]:
    """Of the counts that stood, those that stay beside a new one."""
    differed = len({one.counted for one in before}) > 1
    return [] if differed else [one for one in before if one.by != count.by]
