"""What every command shares: how input is read, how a refusal is told, how an answer is printed."""

from __future__ import annotations

import argparse
import gc
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput, TarsusError, one_line

if TYPE_CHECKING:
    from rich.console import Console

_AT_THE_END: Final[list[str]] = []


def say_at_the_end(line: str) -> None:
    """Say something on standard error once the command is done; a refusal stays one sentence without it."""
    _AT_THE_END.append(line)


def run_command(run: Callable[[list[str]], int], args: list[str]) -> int:
    """Run one command; a refusal becomes one sentence on standard error and exit status 2."""
    _AT_THE_END.clear()
    collecting = gc.isenabled()
    try:
        status = run(args)
        for line in _AT_THE_END:
            print(line, file=sys.stderr)
        return status
    except TarsusError as refusal:
        print(f"tarsus: {one_line(str(refusal))}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader of our output (head, less) went away; there is nobody left to tell.
        sys.stderr.close()
        return 1
    except Exception as reason:
        damaged = _of_a_damaged_register(reason)
        if damaged is None:
            raise
        print(f"tarsus: {one_line(str(damaged))}", file=sys.stderr)
        return 2
    finally:
        if collecting:
            gc.enable()


def _of_a_damaged_register(reason: Exception) -> TarsusError | None:
    """The refusal, where the register's own file is what fails; whatever else fails is a fault of ours."""
    if "django.db" not in sys.modules:
        return None
    from django.db import DatabaseError

    from tarsus.cli.register import refuse_damaged_register

    if isinstance(reason, DatabaseError):
        try:
            refuse_damaged_register()
        except TarsusError as refusal:
            return refusal
    return None


def parser_for(command: str, summary: str) -> argparse.ArgumentParser:
    """An argument parser whose refusals exit with 2, as `documents.md` promises."""
    return argparse.ArgumentParser(prog=f"tarsus {command}", description=summary)


def document_parser(command: str, summary: str) -> argparse.ArgumentParser:
    """The parser of a command that reads one JSON document."""
    parser = parser_for(command, summary)
    parser.add_argument("document", metavar="DOC", help="path of a JSON document, or - for standard input")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead of a table")
    return parser


def read_document(path: str) -> Any:
    """The JSON document at a path, or on standard input for ``-``.

    Raises:
        MalformedInput: nothing can be read there, or it is no JSON that `parse_json` takes.
    """
    try:
        written = sys.stdin.read() if path == "-" else Path(path).read_bytes()
    except UnicodeDecodeError:
        raise MalformedInput(path, "is not written in UTF-8; save it so") from None
    except (OSError, ValueError) as reason:
        said = reason.strerror if isinstance(reason, OSError) else "no file can be called so"
        raise MalformedInput(path, f"cannot be read ({said})") from None
    # All of it stays until it is answered; looking for what may go takes half the time of a large one.
    gc.disable()
    return parse_json(written, path)


def printer() -> Console:
    """Where a command prints for people: names as they are given, ``[bold]`` and ``:bird:`` too."""
    from rich.console import Console

    return Console(markup=False, emoji=False, highlight=False)


def print_document(answer: Any) -> None:
    """Print one JSON document on standard output."""
    print(json.dumps(answer, ensure_ascii=False, allow_nan=False))
