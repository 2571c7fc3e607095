"""`tarsus photograph`: which colours the bands in a photograph have, and whose they may be."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

if TYPE_CHECKING:
    from tarsus.core.documents.photograph import PhotographAnswer

SUMMARY: Final = "Say what colours the bands in a photograph have, and whose they are."
_SHOWN: Final = 4
_WORTH_SAYING: Final = 0.01


def run(args: list[str]) -> int:
    """Answer one document."""
    asked_for = document_parser("photograph", SUMMARY).parse_args(args)
    value = read_document(asked_for.document)
    from tarsus.core.documents.photograph import (
        answer_photograph,
        parse_photograph,
        photograph_as_document,
    )

    answer = answer_photograph(parse_photograph(value))
    if asked_for.json:
        print_document(photograph_as_document(answer))
    else:
        print_tables(answer)
    return 0


def print_tables(answer: PhotographAnswer) -> None:
    """Print the colours of each band for people, then who it may be, then what may mislead."""
    from rich.table import Table

    from tarsus.core.photographs.pixels import REMEDIES
    from tarsus.core.words.certainty import who_it_is
    from tarsus.core.words.numbers import per_cent

    table = Table("band", "colours")
    for at, row in enumerate(answer.photo.chances):
        likely = sorted(zip(answer.photo.names, row.tolist(), strict=True), key=lambda one: -one[1])
        told = [f"{name} {per_cent(chance, fine=True)}" for name, chance in likely if chance >= _WORTH_SAYING]
        table.add_row(str(at), ", ".join(told[:_SHOWN]))
    console = printer()
    console.print(table)
    if answer.candidates is not None:
        who = who_it_is(answer.candidates, answer.none_of_these, answer.look_next)
        console.print(f"{who.say} {who.look}".strip())
        for name, chance in answer.candidates[:_SHOWN]:
            console.print(f"  {name} {per_cent(chance, fine=True)}")
    for doubt in answer.doubts:
        console.print(REMEDIES[doubt])
