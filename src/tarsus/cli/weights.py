"""`tarsus weights`: hold each of a bird's weights against its own usual one."""

from __future__ import annotations

from typing import Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

SUMMARY: Final = "Hold each weight against the bird's own usual one."


def run(args: list[str]) -> int:
    """Answer one document."""
    asked_for = document_parser("weights", SUMMARY).parse_args(args)
    value = read_document(asked_for.document)
    from tarsus.core.documents.weights import answer_weights, parse_weights, weights_as_document

    asked = parse_weights(value)
    answer = weights_as_document(asked, answer_weights(asked))
    if asked_for.json:
        print_document(answer)
        return 0
    from rich.table import Table

    table = Table("weighed", "g", "usual", "change", "advice", "because")
    for one in answer["weights"]:
        usual = "" if one["usual"] is None else f"{one['usual']:.0f}"
        change = "" if one["percent"] is None else f"{one['percent']:+.1f} %"
        table.add_row(one["at"], f"{one['grams']:g}", usual, change, one["advice"], one["because"])
    console = printer()
    console.print(table)
    console.print("A weight is a prompt and no diagnosis: the vet sets the percentages and judges.")
    return 0
