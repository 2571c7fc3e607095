"""`tarsus import`: a park's own spreadsheet, looked at first, then brought in."""

from __future__ import annotations

import argparse
import hashlib
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tarsus.cli.running import parser_for, print_document
from tarsus.core.errors import MalformedInput, WrongValue

if TYPE_CHECKING:
    from collections.abc import Callable

    from tarsus.actions.imports import Brought
    from tarsus.queries.imports import SavedMapping
    from tarsus.tables.choices import Choices
    from tarsus.tables.columns import Columns
    from tarsus.tables.import_plan import ImportPlan
    from tarsus.tables.rows import Sheet

SUMMARY: Final = "Bring in a park's own spreadsheet."
_LISTS: Final = ("birds", "weights", "sightings", "ticks", "rounds", "results", "series", "stock", "nests")
SOME_REFUSED: Final = 1
"""Exit status where good lines were taken and others refused."""


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("import", SUMMARY)
    options.add_argument(
        "file",
        metavar="FILE",
        help="XLSX or CSV, or - for standard input; a whole park as 'tarsus export NAME.json' wrote it goes "
        "into an empty register",
    )
    options.add_argument(
        "--apply", action="store_true", help="write the good lines; without it nothing is written"
    )
    options.add_argument("--all-or-nothing", action="store_true", help="write nothing if any line is refused")
    options.add_argument("--mapping", default="", metavar="NAME", help="read it as a saved mapping says")
    options.add_argument("--save-mapping", default="", metavar="NAME", help="keep how this file is read")
    options.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="HEADING=FIELD",
        help="what a column means; FIELD - leaves it out",
    )
    options.add_argument(
        "--what",
        default="",
        choices=_LISTS,
        help="what the file is a list of; left out, its headings tell, and it is said",
    )
    options.add_argument(
        "--once",
        action="append",
        default=[],
        metavar="FIELD=VALUE",
        help="what holds for every line of a list that has no column for it, such as where='in hand', or "
        "blank='not seen' of an old sheet",
    )
    _answers(options)
    options.add_argument("--sheet", default="", metavar="NAME", help="which sheet of a workbook")
    options.add_argument(
        "--refused",
        default="",
        metavar="FILE",
        help="where refused lines go, to be mended: CSV, or NAME.xlsx with the reason beside each cell",
    )
    options.add_argument("--by", default="", metavar="LOGIN", help="in whose name")
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument(
        "--new", action="store_true", help="with --apply: make the register if none is there"
    )
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a report")
    return options


def _answers(options: argparse.ArgumentParser) -> None:
    """The options that say how a file is written, each the answer to what it would be asked."""
    options.add_argument(
        "--letters",
        default="",
        metavar="WHICH",
        help="the band letters of this file: 'wader' (the published convention), 'park' (this register's "
        "own), or pairs such as B=black,U=brown; asked for where it matters",
    )
    options.add_argument(
        "--species",
        action="append",
        default=[],
        metavar="NAME=WHERE",
        help="where a new species wears bands: leg, tibia, wing or none",
    )
    options.add_argument(
        "--read",
        action="append",
        default=[],
        metavar="RUN=BANDS",
        help="what a run of letters stands for, as in gn=green or gn=green,black; RUN=- leaves its lines out",
    )
    options.add_argument(
        "--small-letters", action="store_true", help="small letters stand for a band each, as capitals do"
    )
    options.add_argument(
        "--same",
        action="append",
        default=[],
        metavar="SPELLING=EXHIBIT",
        help="which exhibit a spelling means; SPELLING=SPELLING keeps it apart",
    )
    options.add_argument(
        "--cell",
        action="append",
        default=[],
        metavar="FIELD:TEXT=MEANING",
        help="what a cell that was not understood means, in every line alike; MEANING - is not known",
    )
    options.add_argument("--exhibit", default="", metavar="NAME", help="the exhibit of lines that name none")
    options.add_argument("--dates", choices=("day-first", "month-first"), help="how 3/4/2021 is meant here")
    options.add_argument("--t", choices=("tibia", "tarsus"), help="what the T of LT and RT stands for")
    options.add_argument(
        "--southern", action="store_true", help="seasons are those of the southern half of the world"
    )


def run(args: list[str]) -> int:
    """Plan the import and print what would happen; with --apply, do it."""
    wishes = parser().parse_args(args)
    contents = _contents(wishes.file)
    from tarsus.cli.register import open_register

    open_register(wishes.home, look=not wishes.apply, make=wishes.new and wishes.apply)
    if contents.lstrip()[:1] == b"{":
        from tarsus.cli.import_park import bring_whole_park_in

        return bring_whole_park_in(wishes, contents)
    from tarsus.cli.import_list import bring_list
    from tarsus.cli.import_refused import write_refused
    from tarsus.cli.import_report import print_report, report_as_document
    from tarsus.cli.progress import progress_bar
    from tarsus.queries.imports import saved_mapping
    from tarsus.tables.list_kinds import BIRDS

    saved = saved_mapping(wishes.mapping) if wishes.mapping else None
    sheet, what = _read(wishes, contents, saved)
    if what != BIRDS:
        return bring_list(wishes, contents, sheet, what, saved)
    columns, choices = _as_said(wishes, sheet, saved)
    with progress_bar("Reading the lines", len(sheet.rows), quiet=wishes.json) as progress:
        if wishes.apply:
            brought: Brought | None = _bring_in(wishes, contents, (sheet, columns, choices), progress)
            assert brought is not None
            plan = brought.plan
        else:
            brought, plan = None, _dry_run(wishes, (sheet, columns, choices), progress)
    batch = brought.batch_id if brought else 0
    kept_at = write_refused(wishes, sheet, plan.refused, plan.refused_rows, batch)
    if wishes.json:
        print_document(report_as_document(sheet, columns, plan, brought, kept_at))
    else:
        mapping = mapping_name(wishes) if brought else ""
        print_report(sheet, columns, plan, brought, kept_at, mapping)
    return SOME_REFUSED if plan.refused else 0


def _contents(path: str) -> bytes:
    try:
        return sys.stdin.buffer.read() if path == "-" else Path(path).read_bytes()
    except OSError as reason:
        raise MalformedInput(path, f"cannot be read ({reason.strerror}); look at its name") from None


def _read(wishes: argparse.Namespace, contents: bytes, saved: SavedMapping | None) -> tuple[Sheet, str]:
    """The table of the file, and what it is a list of."""
    from tarsus.tables.columns import folded
    from tarsus.tables.list_reading import read_list

    said = dict(pairs("--column", wishes.column))
    own = {folded(heading) for heading in (saved.columns if saved else said)} | {folded(one) for one in said}
    name = "standard input" if wishes.file == "-" else wishes.file
    what = wishes.what or (saved.writing.get("what", "") if saved else "")
    return read_list(contents, name, own, wishes.sheet, what)


def _as_said(wishes: argparse.Namespace, sheet: Sheet, saved: SavedMapping | None) -> tuple[Columns, Choices]:
    """What the columns mean and how they are written: as the saved mapping says, then as the options do."""
    from dataclasses import replace

    from tarsus.queries.days import park_today
    from tarsus.tables.choices import Choices
    from tarsus.tables.columns import columns_of, still_there

    kept = still_there(saved.columns, sheet.headings) if saved else {}
    said = dict(pairs("--column", wishes.column))
    chosen = Choices.of(saved.writing) if saved else Choices()
    chosen = replace(
        chosen,
        letters=wishes.letters or chosen.letters,
        t_means=wishes.t or chosen.t_means,
        slashes=(wishes.dates or "").replace("-", " ") or chosen.slashes,
        southern=wishes.southern or chosen.southern,
        exhibit=wishes.exhibit or chosen.exhibit,
        species={**chosen.species, **dict(pairs("--species", wishes.species))},
        runs={**chosen.runs, **dict(pairs("--read", wishes.read))},
        exhibits={**chosen.exhibits, **dict(pairs("--same", wishes.same))},
        cells=cells_meant(chosen.cells, pairs("--cell", wishes.cell)),
        small_letters=wishes.small_letters or chosen.small_letters,
    )
    return columns_of(sheet, {**kept, **said}, park_today()), chosen


def cells_meant(
    before: Mapping[str, Mapping[str, str]], pairs: Iterable[tuple[str, str]]
) -> dict[str, dict[str, str]]:
    """What was said of cells before and is said now, by field."""
    said = {field: dict(answers) for field, answers in before.items()}
    for asked, instead in pairs:
        field, colon, text = asked.partition(":")
        if not (colon and text.strip()):
            raise WrongValue("--cell", f"'{asked}' names no field; write it as FIELD:TEXT=MEANING")
        said.setdefault(field.strip(), {})[text.strip()] = instead
    return said


def pairs(option: str, texts: Iterable[str]) -> Iterator[tuple[str, str]]:
    """The pairs that an option was given.

    Raises:
        WrongValue: one that is no pair.
    """
    for text in texts:
        name, equals, meaning = text.rpartition("=")
        if not (name.strip() and equals and meaning.strip()):
            raise WrongValue(option, f"'{text}' is no pair; write it as NAME=MEANING")
        yield name.strip(), meaning.strip()


def _dry_run(
    wishes: argparse.Namespace, said: tuple[Sheet, Columns, Choices], progress: Callable[[int], None]
) -> ImportPlan:
    from tarsus.actions.imports import NothingBroughtIn, planned

    plan = planned(*said, progress)
    if wishes.all_or_nothing and plan.refused:
        raise NothingBroughtIn(plan.refused)
    return plan


def _bring_in(
    wishes: argparse.Namespace,
    contents: bytes,
    said: tuple[Sheet, Columns, Choices],
    progress: Callable[[int], None],
) -> Brought:
    from tarsus.actions.imports import bring_in, save_mapping
    from tarsus.cli.register import person_of

    sheet, columns, choices = said
    by = person_of(wishes.by)
    file_name = Path(wishes.file).name
    mapping = save_mapping(name=mapping_name(wishes), columns=columns, choices=choices, by=by)
    return bring_in(
        sheet=sheet,
        columns=columns,
        choices=choices,
        file_name=file_name,
        digest=hashlib.sha256(contents).hexdigest(),
        by=by,
        mapping_id=mapping,
        all_or_nothing=wishes.all_or_nothing,
        progress=progress,
    )


def mapping_name(wishes: argparse.Namespace) -> str:
    """Under which name it is kept how this file was read: as asked, otherwise the file's own."""
    name: str = wishes.save_mapping or wishes.mapping or Path(wishes.file).name
    return name
