"""The fewest bands on a leg that reach a wanted clarity, since bands hurt."""

from __future__ import annotations

from collections.abc import Callable

from tarsus.core.choosing.assignment import Assignment
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.rules import MarkRule


def rules_to_try(rule: MarkRule) -> int:
    """How many rules, with ever more bands on a site, `with_fewest_bands` tries at most."""
    return max((rule.bands_on_a_site(row) for row in rule.rows()), default=1)


def with_fewest_bands(
    assign: Callable[[MarkRule], Assignment], rule: MarkRule, clarity: float
) -> tuple[Assignment, bool]:
    """Assign under ever more bands on a leg until the flock is clear enough.

    Args:
        assign: chooses marks under a rule; `tarsus.core.choosing.assignment.assigned` with all else given.
        rule: the most bands that may be used, by row and site.
        clarity: the chance of a wrong name that is still good enough.

    Returns:
        The first assignment that is clear enough, and `True`; the clearest under the whole rule and
        `False` where none is.

    Raises:
        NotEnoughMarks: not even the whole rule has enough marks.

    Source:
        Birds with more bands on a leg are injured more often (Splittgerber & Clarke 2006, J. Field Ornithol.
        77:195-206; Sedgwick & Klus 1997, J. Field Ornithol. 68).
    """
    most = rules_to_try(rule)
    tried: list[MarkRule] = []
    for bands in range(1, most):
        fewer = rule.with_at_most(bands)
        if fewer in tried:
            continue
        tried.append(fewer)
        try:
            found = assign(fewer)
        except NotEnoughMarks:
            continue
        if found.clarity.misnamed <= clarity:
            return found, True
    found = assign(rule)
    return found, found.clarity.misnamed <= clarity
