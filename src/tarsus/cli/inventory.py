"""`tarsus inventory`: count what came, went and is here, so that it balances."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console

    from tarsus.core.care.inventory.balance import InventoryLine

SUMMARY: Final = "Count what came, went and is here, so that it balances."


def run(args: list[str]) -> int:
    """Answer one document."""
    asked_for = document_parser("inventory", SUMMARY).parse_args(args)
    value = read_document(asked_for.document)
    from tarsus.core.documents.inventory import answer_inventory, inventory_as_document, parse_inventory

    asked = parse_inventory(value)
    answer = answer_inventory(asked)
    if asked_for.json:
        print_document(inventory_as_document(answer))
        return 0

    console = printer()
    for basis, lines in (("held", answer.held), ("owned", answer.owned)):
        console.print(f"Birds {basis}, {asked.first} to {asked.last}, both days included:")
        print_lines(console, lines)
    return 0


def print_lines(console: Console, lines: Sequence[InventoryLine]) -> None:
    """Print one inventory for people, then each species in males.females.unsexed."""
    from dataclasses import fields

    from rich.table import Table

    from tarsus.core.care.inventory.balance import InventoryLine, by_sex

    names = [field.name for field in fields(InventoryLine)]
    # A column in which nothing happened only takes room.
    shown = [name for name in names if name in ("opening", "closing") or any(getattr(x, name) for x in lines)]
    table = Table(*(name.replace("_", " ") for name in shown))
    for line in lines:
        table.add_row(*(str(getattr(line, name)) for name in shown))
    console.print(table)
    for species in dict.fromkeys(line.species for line in lines):
        console.print(f"{species}: {by_sex(lines, species, 'opening')} to {by_sex(lines, species)}")
