"""Where a table begins: the heading row below titles and blank lines, with merged headings taken apart."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from tarsus.tables.rows import Grid, Refusal, Remark, Row, Sheet, UnreadableTable

_LOOKED_AT: Final = 40
Recognise = Callable[[str], bool]


def sheet_from(grid: Grid, recognise: Recognise) -> Sheet:
    """The table of a grid.

    Args:
        grid: cells as they stand.
        recognise: whether a heading means something to the one who asks; the row with most of them is the
        heading
            row, and where none is recognised the first row with two texts side by side.

    Returns:
        Headings (made different from each other, none empty) and the rows below. Blank rows and repeated
        headings are left out; titles between rows are passed over with a remark.

    Raises:
        UnreadableTable: no row looks like headings.
    """
    width = max((len(cells) for _, cells in grid.lines), default=0)
    filled = _merged_filled(grid, width)
    place = _heading_place(grid, filled, recognise)
    headings = _distinct(_headings_at(grid, filled, place, recognise))
    heading_line = grid.lines[place][0]
    rows: list[Row] = []
    passed: list[Remark] = []
    for (line, own), cells in zip(grid.lines[place + 1 :], filled[place + 1 :], strict=True):
        texts = [text for text in cells if text]
        if not texts or tuple(text for text in cells) == headings:
            continue
        if len({*texts}) == 1 and (len(texts) > 1 or _is_merged_title(grid, line)):
            passed.append(Remark(line, "", f"'{texts[0]}' stands alone in its line; passed over", grid.name))
        elif any(own):
            rows.append(_row(grid, line, headings, cells))
    return Sheet(grid.name, headings, tuple(rows), heading_line, tuple(passed))


def _row(grid: Grid, line: int, headings: tuple[str, ...], cells: tuple[str, ...]) -> Row:
    faults = tuple(
        Refusal(line, headings[column], reason, remedy, grid.name)
        for at, column, reason, remedy in grid.faults
        if at == line and column < len(headings)
    )
    return Row(line, tuple(zip(headings, cells, strict=True)), faults, grid.name)


def _merged_filled(grid: Grid, width: int) -> list[tuple[str, ...]]:
    """Every line at full width; a cell merged over several lines speaks for all of them."""
    by_line = {line: [*cells, *[""] * (width - len(cells))] for line, cells in grid.lines}
    for first, left, last, right in grid.merged:
        text = by_line.get(first, [""] * width)[left] if left < width else ""
        for line in range(first, last + 1):
            for column in range(left, min(right + 1, width)):
                if line in by_line:
                    by_line[line][column] = text
    return [tuple(by_line[line]) for line, _ in grid.lines]


def _is_merged_title(grid: Grid, line: int) -> bool:
    return any(first <= line <= last and right > left for first, left, last, right in grid.merged)


def _heading_place(grid: Grid, filled: list[tuple[str, ...]], recognise: Recognise) -> int:
    """Index into the lines of the row that is most likely the headings."""
    scores = [
        sum(recognise(heading) for heading in {*_headings_at(grid, filled, place, recognise)} if heading)
        for place in range(min(len(filled), _LOOKED_AT))
    ]
    if scores and max(scores) >= 2:
        return scores.index(max(scores))
    for place in range(min(len(filled), _LOOKED_AT)):
        if len({text for text in filled[place] if text}) >= 2:
            return place
    raise UnreadableTable(
        grid.name, "has no row of headings; name the columns in the line above the first bird"
    )


def _headings_at(
    grid: Grid, filled: list[tuple[str, ...]], place: int, recognise: Recognise
) -> tuple[str, ...]:
    """The headings if this line were theirs: *left leg* merged over *upper* gives *left leg upper*.

    A merged title says nothing: where a heading is known by itself and not together with what stands over it,
    it stays as it is, unless it comes twice.
    """
    line, owns = grid.lines[place][0], filled[place]
    groups = dict.fromkeys(range(len(filled[place])), "")
    if place:
        above = grid.lines[place - 1][0]
        for first, left, last, right in grid.merged:
            whole = right - left + 1 >= len(filled[place])
            if first <= above <= last and last < line and right > left and not whole:
                for column in range(left, right + 1):
                    groups[column] = filled[place - 1][column]

    def combined(column: int, own: str) -> str:
        together = " ".join(part for part in (groups[column], own) if part)
        by_itself = recognise(own) and not recognise(together) and owns.count(own) == 1
        return own if by_itself or own == groups[column] else together

    return tuple(combined(column, own) for column, own in enumerate(owns))


def _distinct(headings: Iterable[str]) -> tuple[str, ...]:
    """Headings without two alike and without empty ones."""
    found: list[str] = []
    for column, heading in enumerate(headings):
        name = heading or f"column {_column_letter(column)}"
        again = 2
        while name in found:
            name = f"{heading} ({again})"
            again += 1
        found.append(name)
    return tuple(found)


def _column_letter(column: int) -> str:
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
