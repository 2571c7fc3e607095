"""`tarsus catch-up`: choose which birds to catch within the minutes."""

from __future__ import annotations

from typing import Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

SUMMARY: Final = "Choose which birds to catch within the minutes."


def run(args: list[str]) -> int:
    """Answer one document."""
    asked_for = document_parser("catch-up", SUMMARY).parse_args(args)
    value = read_document(asked_for.document)
    from tarsus.core.documents.catch_up import answer_catch_up, catch_up_as_document, parse_catch_up

    asked = parse_catch_up(value)
    answer = answer_catch_up(asked)
    if asked_for.json:
        print_document(catch_up_as_document(answer))
        return 0
    from rich.table import Table

    from tarsus.core.care.cautions import CATCH, caution

    table = Table("bird", "caught", "minutes", "worth")
    for bird in answer.catch:
        table.add_row(bird.id, "yes", f"{bird.minutes:g}", f"{bird.worth:g}")
    for bird_id, because in answer.left_out:
        table.add_row(bird_id, because)
    console = printer()
    console.print(table)
    console.print(
        f"{answer.minutes:g} of {asked.minutes:g} minutes, catching included; worth {answer.worth:g}."
    )
    console.print(caution(CATCH))
    return 0
