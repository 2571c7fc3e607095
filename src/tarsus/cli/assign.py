"""`tarsus assign`: choose marks that nobody will mistake."""

from __future__ import annotations

import time
from typing import Any

from tarsus.cli.running import document_parser, print_document, read_document
from tarsus.core.documents.assign import assign

SUMMARY = "Choose marks that nobody will mistake."


def run(args: list[str]) -> int:
    """Read one document and print marks for every wanted bird."""
    options = document_parser("assign", SUMMARY).parse_args(args)
    answer = assign(read_document(options.document), time.monotonic)
    if options.json:
        print_document(answer)
    else:
        _print_tables(answer)
    return 0


def _print_tables(answer: dict[str, Any]) -> None:
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False)
    table = Table("bird", "marks", "likeliest to be taken for")
    for bird in answer["marks"]:
        worn = "; ".join(f"{site}: {', '.join(bands)}" for site, bands in bird["marks"].items())
        near = ", ".join(f"{other['id']} {other['p']:.2%}" for other in bird["lookalikes"])
        table.add_row(bird["id"], worn or "nothing", near or "nobody")
    console.print(table)
    console.print(f"A reading of a random bird names a wrong one in {answer['misidentified']:.3%} of cases.")
    console.print(f"No choice of marks can go below {answer['lower_bound']:.3%}.")
    sure = answer["sure"]
    console.print(
        f"Who names a bird only when 95 % sure is wrong in {sure['wrong']:.3%}, "
        f"and leaves {sure['unnamed']:.2%} unnamed."
    )
    if "clarity_reached" in answer:
        console.print(
            "The wanted clarity is " + ("reached." if answer["clarity_reached"] else "not reached.")
        )
    if not answer["settled"]:
        console.print("The time ran out before the search had settled: another run may differ.")
    for band, count in answer.get("left_in_stock", {}).items():
        console.print(f"Left in stock: {count} {band}")
