"""What would become of a file that somebody looks at before it is brought in."""

from __future__ import annotations

from tarsus.core.words.numbers import counted


def birds_would(birds: int, refused: int, waiting: int, before: int) -> str:
    """How many birds of a list would go in, and what becomes of its other lines.

    Args:
        birds: that would go in.
        refused: lines with something wrong in them.
        waiting: lines that wait for an answer.
        before: lines that went in with an earlier file.
    """
    told = [
        f"{birds} {counted('bird', birds)} would go in",
        f"{refused} {counted('line', refused)} {_is(refused)} refused",
    ]
    if waiting:
        told.append(f"{waiting} {'waits' if waiting == 1 else 'wait'} for an answer")
    if before:
        told.append(f"{before} went in before")
    return f"{', '.join(told)}. Nothing is written yet."


def list_would(kind: str, told_by: str, told: int, refused: int, before: int) -> str:
    """How much of a list of something else than birds would be told.

    Args:
        kind: what the file is a list of.
        told_by: what one thing told is called: *line*, or *round*.
        told: how many would be.
        refused: lines with something wrong in them.
        before: lines that were told with an earlier file.
    """

    def lines(number: int) -> str:
        return str(number) if told_by == "line" else f"{number} {counted('line', number)}"

    said = f"{told} {counted(told_by, told)} would be told, {lines(refused)} {_is(refused)} refused"
    if before:
        said += f", {lines(before)} {'was' if before == 1 else 'were'} told before"
    return f"Read as a list of {kind}: {said}. Nothing is written yet."


def _is(number: int) -> str:
    return "is" if number == 1 else "are"
