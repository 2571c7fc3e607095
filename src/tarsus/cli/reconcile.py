"""`tarsus reconcile`: weigh the readings of one round together."""

from __future__ import annotations

from typing import Any

from tarsus.cli.running import document_parser, print_document, printer, read_document
from tarsus.core.documents.reconcile import reconcile

SUMMARY = "Weigh the readings of one round together."


def run(args: list[str]) -> int:
    """Read one document and print the chances."""
    options = document_parser("reconcile", SUMMARY).parse_args(args)
    answer = reconcile(read_document(options.document))
    if options.json:
        print_document(answer)
    else:
        _print_tables(answer)
    return 0


def _print_tables(answer: dict[str, Any]) -> None:
    from rich.table import Table

    console = printer()
    readings = Table("group", "reading", "likeliest", "chance", "none of these")
    for g, group in enumerate(answer["groups"], 1):
        for r, best in enumerate(group, 1):
            readings.add_row(str(g), str(r), best["id"], f"{best['p']:.4f}", f"{best['none_of_these']:.4f}")
    seen = Table("bird", "seen at least once")
    for bird, chance in answer["seen"].items():
        seen.add_row(bird, f"{chance:.4f}")
    console.print(readings)
    console.print(seen)
    console.print(f"Method: {answer['method']}.")
