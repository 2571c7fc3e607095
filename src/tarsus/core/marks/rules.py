"""How birds of a species are marked here: where the metal goes, and how many colours go where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

JUVENILE: Final = "J"
"""The row of a rule for birds that are not grown, where the rule has one."""

ROWS: Final = ("F", "M", "U", JUVENILE)
"""Female, male, unsexed, juvenile: the rows a rule may have."""

Colours = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class MarkRule:
    """What a rule says, as plain values.

    `metal` is the site of the metal band by row, `None` for none. `colours` is the number of colour bands by
    row and site. `repeat` allows one colour twice on a site. `excluded` are colours that are never proposed
    (a red band on a red leg vanishes). `or_colours` are other layouts that the rule allows as well.
    """

    metal: Mapping[str, str | None] = field(default_factory=dict)
    colours: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    repeat: bool = True
    excluded: frozenset[str] = frozenset()
    or_colours: Mapping[str, tuple[Mapping[str, int], ...]] = field(default_factory=dict)

    def row_of(self, sex: str, juvenile: bool = False) -> str:
        """The row that marks a bird: the juvenile one where there is one and the bird is not grown."""
        has_juvenile_row = JUVENILE in self.colours or JUVENILE in self.metal
        return JUVENILE if juvenile and has_juvenile_row else sex

    def metal_site(self, row: str) -> str | None:
        """Where the metal band of a row goes."""
        return self.metal.get(row)

    def layouts(self, row: str) -> tuple[Colours, ...]:
        """How many colour bands go where, sites that take none left out; one entry a layout."""
        all_counts = (self.colours.get(row, {}), *self.or_colours.get(row, ()))
        return tuple(dict.fromkeys(tuple((s, n) for s, n in counts.items() if n) for counts in all_counts))

    def rows(self) -> tuple[str, ...]:
        """The rows that this rule speaks of."""
        return tuple(row for row in ROWS if row in self.metal or row in self.colours)

    def bands_on_a_site(self, row: str) -> int:
        """Most bands that any layout puts on one site, the metal counted."""
        metal = self.metal_site(row)
        return max(
            (count + (site == metal) for counts in self.layouts(row) for site, count in counts),
            default=int(metal is not None),
        )

    def with_at_most(self, on_a_site: int) -> MarkRule:
        """The same rule with no more than so many bands on any site, the metal kept and counted."""

        def fewer(row: str, counts: Colours) -> dict[str, int]:
            room = {site: on_a_site - (self.metal_site(row) == site) for site, _ in counts}
            return {site: max(0, min(count, room[site])) for site, count in counts}

        cut = {row: [fewer(row, counts) for counts in self.layouts(row)] for row in self.colours}
        return replace(
            self,
            colours={row: layouts[0] for row, layouts in cut.items()},
            or_colours={row: tuple(layouts[1:]) for row, layouts in cut.items()},
        )
