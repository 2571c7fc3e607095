"""`tarsus identify`: who a bird is, from what was read of its bands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

if TYPE_CHECKING:
    from tarsus.core.documents.identify import Identified, IdentifyDocument
    from tarsus.core.marks.marks import Reading

SUMMARY: Final = "Say who a bird is from what was read of its bands."

_SHOWN: Final = 4


def run(args: list[str]) -> int:
    """Answer one document."""
    asked_for = document_parser("identify", SUMMARY).parse_args(args)
    value = read_document(asked_for.document)
    from tarsus.core.documents.identify import answer_identify, identify_as_document, parse_identify

    asked = parse_identify(value)
    answer = answer_identify(asked)
    if asked_for.json:
        print_document(identify_as_document(answer))
    else:
        print_table(asked, answer.readings)
    return 0


def print_table(asked: IdentifyDocument, answers: tuple[Identified, ...]) -> None:
    """Print who it may be for people, a row a reading."""
    from rich.table import Table

    from tarsus.core.words.certainty import who_it_is
    from tarsus.core.words.numbers import per_cent

    table = Table("reading", "who", "candidates", "none of these")
    for (reading, _), answer in zip(asked.readings, answers, strict=True):
        who = who_it_is(answer.candidates, answer.none_of_these, answer.look_next)
        said = [f"{who.say} {who.look}".strip()]
        if answer.because and answer.none_of_these < 0.5:
            said.append(f"If it is {answer.candidates[0][0]}: {'; '.join(answer.because)}.")
        shown = "\n".join(
            f"{name} {per_cent(chance, fine=True)}" for name, chance in answer.candidates[:_SHOWN]
        )
        more = len(answer.candidates) - _SHOWN
        shown += f"\nand {more} more" if more > 0 else ""
        table.add_row(as_read(reading), "\n".join(said), shown, per_cent(answer.none_of_these, fine=True))
    printer().print(table)


def as_read(reading: Reading) -> str:
    """A reading in words, a line a site that was seen, and how sure its sides are where it says."""
    from tarsus.core.readings.wording import sides_read, stack_read

    lines = [f"{site}: {stack_read(bands)}" for site, bands in reading.sites]
    if reading.swap is not None:
        wings = any(site.endswith("wing") for site, _ in reading.sites)
        lines.append(sides_read(reading.swap, "wings" if wings else "legs"))
    return "\n".join(lines) or "nothing read"
