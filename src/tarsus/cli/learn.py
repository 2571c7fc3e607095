"""`tarsus learn`: re-estimate a reader from confirmed readings."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

if TYPE_CHECKING:
    from tarsus.core.documents.learn import LearnAnswer

SUMMARY: Final = "Re-estimate a reader from confirmed readings."

_WORDS: Final = {
    "swap": "legs swapped, a reading",
    "flip": "order swapped, a site",
    "colour": "taken for another colour, a band",
    "overlook": "not noticed, a band",
    "lost": "fallen off since the last check, a band",
}
_CONFUSIONS: Final = 8


def run(args: list[str]) -> int:
    """Answer one document."""
    parser = document_parser("learn", SUMMARY)
    parser.add_argument("--seed", type=int, default=1, help="seed of the draws (default 1)")
    asked_for = parser.parse_args(args)
    value = read_document(asked_for.document)
    from numpy.random import default_rng

    from tarsus.core.documents.learn import answer_learn, learn_as_document, parse_learn

    answer = answer_learn(parse_learn(value), default_rng(asked_for.seed))
    if answer.learned.set_aside:
        # Told also beside --json: a check that no error explains may be a slip in the record.
        places = ", ".join(f"checks[{at}]" for at in answer.learned.set_aside)
        print(f"tarsus: set aside, more bands read than worn: {places}", file=sys.stderr)
    if asked_for.json:
        print_document(learn_as_document(answer))
    else:
        print_table(answer)
    return 0


def print_table(answer: LearnAnswer) -> None:
    """Print the chances for people, before and after."""
    from rich.table import Table

    from tarsus.core.documents.learn import CHANCES, intervals
    from tarsus.core.documents.readers import explicit_reader

    before, after = explicit_reader(answer.before), explicit_reader(answer.after)
    bounds = intervals(answer.learned)
    table = Table("error", "before", "now", "95 % interval")
    for name in CHANCES:
        low, high = bounds[name]
        table.add_row(_WORDS[name], _told(before[name]), _told(after[name]), f"{_told(low)} to {_told(high)}")
    console = printer()
    console.print(table)
    rows = [(c, worn, read) for worn, row in after["confusion"].items() for read, c in row.items()]
    worst = Table("worn", "read as", "chance")
    for chance, worn, read in sorted(rows, reverse=True)[:_CONFUSIONS]:
        worst.add_row(worn, read, _told(chance))
    console.print(worst)
    console.print(verdict(answer))


def verdict(answer: LearnAnswer) -> str:
    """Say whether the learned reader should be used."""
    count = f"{answer.learned.used} checks"
    if not answer.evidence.checks:
        return f"{count}: too few to say whether this reads the keeper better than before."
    if answer.evidence.earned:
        return f"{count}: it foretells checks that it was not taught better than before; use it."
    return f"{count}: it does not yet foretell checks better than before; keep the reader that was."


def _told(chance: float) -> str:
    return f"{100 * chance:.2f} %"
