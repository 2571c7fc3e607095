"""`tarsus capacity`: how many birds can be told apart."""

from __future__ import annotations

from typing import Any, Final

from tarsus.cli.running import parser_for, print_document, printer

SUMMARY: Final = "Say how many birds can be told apart."
SHOWN: Final = 60


def run(args: list[str]) -> int:
    """Answer for so many colours, bands and differences."""
    parser = parser_for("capacity", SUMMARY)
    parser.add_argument("--colours", type=int, required=True, help="how many colours there are")
    parser.add_argument("--positions", type=int, required=True, help="how many bands each bird wears")
    parser.add_argument(
        "--distance", type=int, required=True, help="in how many bands every two birds must differ"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")
    asked = parser.parse_args(args)
    from tarsus.core.choosing.codes.capacity import capacity
    from tarsus.core.documents.capacity import capacity_as_document

    answer = capacity_as_document(capacity(asked.colours, asked.positions, asked.distance))
    if asked.json:
        print_document(answer)
    else:
        print_for_people(answer)
    return 0


def print_for_people(answer: dict[str, Any]) -> None:
    """Print the sentence, how it is known, and the combinations."""

    console = printer()
    console.print(answer["says"])
    console.print(answer["method"], style="dim")
    for number, word in enumerate(answer["combinations"][:SHOWN], start=1):
        console.print(f"{number:>5}  {', '.join(word)}")
    left = answer["birds"] - SHOWN
    if left > 0:
        console.print(f"       and {left} more; --json lists them all")
