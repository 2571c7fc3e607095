"""`tarsus study`: simulate a season under each marking scheme, side by side."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any, Final

from tarsus.cli.running import document_parser, print_document, printer, read_document

if TYPE_CHECKING:
    from argparse import Namespace

    from tarsus.core.readings.season import SeasonPlayed, SeasonTask

SUMMARY: Final = "Simulate a season under a marking rule."

_TITLES: Final = {
    "right": "named\nrightly",
    "misnamed": "misnamed",
    "unnamed": "unnamed",
    "unresolved": "open",
}


def run(args: list[str]) -> int:
    """Answer one document."""
    parser = document_parser("study", SUMMARY)
    parser.add_argument("--workers", type=int, metavar="N", help="processes to play on (default: every core)")
    parser.add_argument(
        "--spread", choices=("cores", "dask"), default="cores", help="where seasons are played"
    )
    parser.add_argument(
        "--scheduler", metavar="ADDRESS", help="a Dask scheduler; left out, Dask starts its own here"
    )
    asked_for = parser.parse_args(args)
    if asked_for.workers is not None and asked_for.workers < 1:
        parser.error("--workers: give at least 1")
    if asked_for.scheduler is not None and asked_for.spread != "dask":
        parser.error("--scheduler: goes with --spread dask")
    value = read_document(asked_for.document)
    from tarsus.core.documents.study import parse_study, season_tasks, study_as_document

    asked = parse_study(value)
    by_scheme = season_tasks(asked)
    played = iter(played_out([task for tasks in by_scheme for task in tasks], asked_for))
    answer = study_as_document(asked, [[next(played) for _ in tasks] for tasks in by_scheme])
    if asked_for.json:
        print_document(answer)
    else:
        print_table(answer)
    return 0


def played_out(tasks: list[SeasonTask], asked_for: Namespace) -> list[SeasonPlayed]:
    """Play every season where it was asked for, with a progress bar on standard error."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

    from tarsus.cli.spreading import on_cores, on_dask

    if asked_for.spread == "dask":
        seasons = on_dask(tasks, asked_for.scheduler, asked_for.workers)
    else:
        seasons = on_cores(tasks, asked_for.workers)
    columns = ("seasons", BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    console = Console(file=sys.stderr)
    results: dict[int, SeasonPlayed] = {}
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        whole = bar.add_task("seasons", total=len(tasks))
        for at, season in seasons:
            results[at] = season
            bar.advance(whole)
    return [results[at] for at in range(len(tasks))]


def print_table(answer: dict[str, Any]) -> None:
    """Print the schemes for people, side by side, each share with its 95 % interval."""
    from rich.table import Table

    table = Table(
        "scheme", *_TITLES.values(), "rounds\nto see all", "misnamed,\nto the first", show_lines=True
    )
    for scheme in answer["schemes"]:
        shares = [share_in_words(scheme[name]) for name in _TITLES]
        against = scheme["against_the_first"]["misnamed"]
        difference = "" if scheme is answer["schemes"][0] else share_in_words(against, signed=True)
        table.add_row(scheme["name"], *shares, rounds_in_words(scheme["rounds_to_see_all"]), difference)
    console = printer()
    console.print(table)
    console.print(
        f"{answer['birds']} birds, {answer['seasons']} seasons of {answer['rounds']} rounds a scheme, seed "
        f"{answer['seed']}; per cent of readings with 95 % intervals."
    )


def share_in_words(estimate: dict[str, Any], *, signed: bool = False) -> str:
    """A share in per cent with its interval."""
    sign = "+" if signed else ""
    low, high = estimate["interval"]
    return f"{100 * estimate['mean']:{sign}.2f}\n{100 * low:{sign}.2f} to {100 * high:{sign}.2f}"


def rounds_in_words(rounds: dict[str, Any]) -> str:
    """Rounds until every bird had been named, in the median season."""
    if rounds["median"] is None:
        return "more than\nthe season has"
    low, high = ("more" if value is None else f"{value:g}" for value in rounds["interval"])
    never = f"\nnever in {100 * rounds['not_all']:.0f} %" if rounds["not_all"] else ""
    return f"{rounds['median']:g}\n{low} to {high}{never}"
