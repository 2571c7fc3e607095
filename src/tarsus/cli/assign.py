"""`tarsus assign`: choose marks that nobody will mistake."""

from __future__ import annotations

from typing import Any

from tarsus.cli.running import document_parser, print_document, printer, read_document
from tarsus.core.documents.assign import assign

SUMMARY = "Choose marks that nobody will mistake."


def run(args: list[str]) -> int:
    """Read one document and print marks for every wanted bird."""
    options = document_parser("assign", SUMMARY).parse_args(args)
    answer = assign(read_document(options.document))
    if options.json:
        print_document(answer)
    else:
        _print_tables(answer)
    return 0


def _print_tables(answer: dict[str, Any]) -> None:
    from rich.table import Table

    console = printer()
    table = Table("bird", "marks", "likeliest to be taken for")
    for bird in answer["marks"]:
        worn = "; ".join(f"{site}: {', '.join(bands)}" for site, bands in bird["marks"].items())
        near = ", ".join(f"{other['id']} {other['p']:.2%}" for other in bird["lookalikes"])
        table.add_row(bird["id"], worn or "nothing", near or "nobody")
    console.print(table)
    console.print(f"A reading of a random bird names a wrong one in {answer['misidentified']:.3%} of cases.")
    console.print(f"No choice of marks can go below {answer['lower_bound']:.3%}.")
    console.print(
        f"Who names a bird only when {answer['sureness']:.0%} sure names wrongly in "
        f"{answer['named_wrongly']:.3%}, and leaves {answer['left_in_doubt']:.2%} in doubt."
    )
    console.print(
        f"That costs {answer['loss']:.3%} of a wrong name a reading; no choice of marks can cost less than "
        f"{answer['loss_lower_bound']:.3%}."
    )
    if "clarity_reached" in answer:
        console.print(
            "The wanted clarity is " + ("reached." if answer["clarity_reached"] else "not reached.")
        )
    if not answer["settled"]:
        console.print("The last of the work still found better marks: more `seconds` may find more.")
    for band, count in answer.get("left_in_stock", {}).items():
        console.print(f"Left in stock: {count} {band}")
