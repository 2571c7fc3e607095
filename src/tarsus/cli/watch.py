"""`tarsus watch`: who is still here, how easily each bird is seen, and how each round was."""

from __future__ import annotations

from typing import Final

from tarsus.cli.running import document_parser, print_document, printer, read_document
from tarsus.core.documents.watch import WatchAnswer, WatchDocument
from tarsus.core.words.numbers import per_cent
from tarsus.core.words.second_look import short_count_said

SUMMARY: Final = "Say who is still here, and where to look again."

_WORRY: Final = {"search": 0, "look again": 1, "present": 2}


def run(args: list[str]) -> int:
    """Answer one document."""
    asked_for = document_parser("watch", SUMMARY).parse_args(args)
    value = read_document(asked_for.document)
    from tarsus.core.documents.watch import answer_watch, parse_watch, watch_as_document

    asked = parse_watch(value)
    answer = answer_watch(asked)
    if asked_for.json:
        print_document(watch_as_document(asked, answer))
    else:
        print_table(asked, answer)
    return 0


def print_table(asked: WatchDocument, answer: WatchAnswer) -> None:
    """Print birds for people, the most worrying first."""
    from rich.table import Table

    table = Table("bird", "advice", "still here", "unseen", "usually seen", "settled after")
    for bird in sorted(answer.watch.birds, key=lambda b: (_WORRY[b.advice], b.still_here, b.bird)):
        more = "" if bird.looks_needed is None else f"{bird.looks_needed} more misses"
        unseen = f"{bird.unseen_rounds} rounds, {bird.unseen_days} days" if bird.unseen_rounds else ""
        table.add_row(bird.bird, bird.advice, _fine(bird.still_here), unseen, _fine(bird.usual), more)
    console = printer()
    console.print(table)
    poorest = sorted(zip(answer.watch.eases, asked.days, strict=True))[:3]
    foggy = [f"{day} ({ease:+.1f})" for ease, day in poorest if ease < -0.5]
    if foggy:
        console.print(f"Hardest rounds (logit): {', '.join(foggy)}")
    if answer.short is not None:
        console.print(short_count_line(answer))


def short_count_line(answer: WatchAnswer) -> str:
    """One sentence for a count that is short."""
    assert answer.short is not None
    ranked = sorted(zip(answer.short.among.tolist(), answer.on_the_roll, strict=True), reverse=True)
    among = [(bird, chance) for chance, bird in ranked[:5] if chance > 0.005]
    roll = len(answer.on_the_roll)
    return short_count_said(roll, roll - answer.short.missing, among, answer.short.miscount)


def _fine(chance: float) -> str:
    return per_cent(chance, fine=True)
