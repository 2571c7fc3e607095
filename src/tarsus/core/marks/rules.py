"""How birds of a species are marked here: where the metal goes, and how many colours go where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from tarsus.core.marks.sites import MIRROR, SITES

JUVENILE: Final = "J"
"""The row of a rule for birds that are not grown, where the rule has one."""

ROWS: Final = ("F", "M", "U", JUVENILE)
"""Female, male, unsexed, juvenile: the rows a rule may have."""

Colours = tuple[tuple[str, int], ...]
"""One layout: how many colour bands go where, in the order of the sites, those that take none left out."""

Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class RowRule:
    """How birds of one row are marked: the site of the metal, `None` for none, and the layouts allowed."""

    row: str
    metal: str | None
    layouts: tuple[Colours, ...]


@dataclass(frozen=True, slots=True)
class MarkRule:
    """What a rule says, as one value: equal rules are equal, whatever order they were told in.

    `repeat` allows one colour twice on a site. `excluded` are colours that are never proposed (a red band on
    a red leg vanishes).
    """

    by_row: tuple[RowRule, ...] = ()
    repeat: bool = True
    excluded: frozenset[str] = frozenset()

    @classmethod
    def of(
        cls,
        metal: Mapping[str, str | None] | None = None,
        colours: Mapping[str, Counts | Sequence[Counts]] | None = None,
        *,
        repeat: bool = True,
        excluded: frozenset[str] = frozenset(),
    ) -> MarkRule:
        """Write a rule down.

        Args:
            metal: the site of the metal band by row, `None` for none.
            colours: by row how many colour bands go on which site; of several layouts any may be given.
            repeat: whether one colour may stand twice on a site.
            excluded: colours that are never proposed.
        """
        metal, colours = metal or {}, colours or {}
        rows = [row for row in ROWS if row in metal or row in colours]
        return cls(
            tuple(RowRule(row, metal.get(row), _layouts(colours.get(row, {}))) for row in rows),
            repeat,
            excluded,
        )

    def row_of(self, sex: str, juvenile: bool = False) -> str:
        """The row that marks a bird: the juvenile one where there is one and the bird is not grown."""
        return JUVENILE if juvenile and JUVENILE in self.rows() else sex

    def metal_site(self, row: str) -> str | None:
        """Where the metal band of a row goes."""
        return self._of(row).metal

    def layouts(self, row: str) -> tuple[Colours, ...]:
        """How many colour bands go where, one entry a layout."""
        return self._of(row).layouts

    def rows(self) -> tuple[str, ...]:
        """The rows that this rule speaks of."""
        return tuple(told.row for told in self.by_row)

    def bands_on_a_site(self, row: str) -> int:
        """Most bands that any layout puts on one site, the metal counted."""
        metal = self.metal_site(row)
        return max(
            (count + (site == metal) for counts in self.layouts(row) for site, count in counts),
            default=int(metal is not None),
        )

    def whole_at(self) -> dict[str, int]:
        """How many bands make a site whole for whoever reads it without knowing the row.

        Returns:
            The most bands, metal counted, that any row and layout puts at a site or, since left and right are
            mixed up by readers, at the same site of the other side; sites that take none are left out.
        """
        most: dict[str, int] = {}
        for told in self.by_row:
            for counts in told.layouts:
                by_site = dict(counts)
                if told.metal is not None:
                    by_site[told.metal] = by_site.get(told.metal, 0) + 1
                for site, number in by_site.items():
                    for side in (site, MIRROR[site]):
                        most[side] = max(most.get(side, 0), number)
        return {site: most[site] for site in SITES if site in most}

    def with_at_most(self, on_a_site: int) -> MarkRule:
        """The same rule with no more than so many bands on any site, the metal kept and counted."""

        def fewer(told: RowRule) -> RowRule:
            cut = [{s: min(n, on_a_site - (told.metal == s)) for s, n in counts} for counts in told.layouts]
            return replace(told, layouts=_layouts(cut))

        return replace(self, by_row=tuple(fewer(told) for told in self.by_row))

    def _of(self, row: str) -> RowRule:
        return next((told for told in self.by_row if told.row == row), RowRule(row, None, ((),)))


def _layouts(counts: Counts | Sequence[Counts]) -> tuple[Colours, ...]:
    all_counts = [counts] if isinstance(counts, Mapping) else counts
    ordered = (tuple((s, by_site[s]) for s in SITES if by_site.get(s, 0) > 0) for by_site in all_counts)
    return tuple(dict.fromkeys(ordered))
