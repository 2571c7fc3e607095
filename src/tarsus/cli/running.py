"""What every command shares: how input is read, how a refusal is told, how an answer is printed."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from tarsus.core.documents.values import child
from tarsus.core.errors import MalformedInput, TarsusError, WrongValue

_AT_THE_END: Final[list[str]] = []


def say_at_the_end(line: str) -> None:
    """Say something on standard error once the command is done; a refusal stays one sentence without it."""
    _AT_THE_END.append(line)


def run_command(run: Callable[[list[str]], int], args: list[str]) -> int:
    """Run one command; a refusal becomes one sentence on standard error and exit status 2."""
    _AT_THE_END.clear()
    try:
        status = run(args)
        for line in _AT_THE_END:
            print(line, file=sys.stderr)
        return status
    except TarsusError as refusal:
        print(f"tarsus: {refusal}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader of our output (head, less) went away; there is nobody left to tell.
        sys.stderr.close()
        return 1


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
        MalformedInput: nothing can be read there, it is no JSON, or an object has a key twice.
    """
    try:
        text = sys.stdin.read() if path == "-" else Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as reason:
        said = reason.strerror if isinstance(reason, OSError) else "not written in UTF-8"
        raise MalformedInput(path, f"cannot be read ({said})") from None
    try:
        document = json.loads(text, object_pairs_hook=_Pairs.of)
    except json.JSONDecodeError as reason:
        where = f"line {reason.lineno}, column {reason.colno}"
        raise MalformedInput(path, f"is no JSON at {where}: {reason.msg}") from None
    _refuse_twice(document, "")
    return document


class _Pairs(dict[str, Any]):
    """An object that remembers a key it was given twice: a plain one would keep the last and say nothing."""

    twice: str | None = None

    @classmethod
    def of(cls, pairs: list[tuple[str, Any]]) -> _Pairs:
        made = cls(pairs)
        if len(made) < len(pairs):
            names = [name for name, _ in pairs]
            made.twice = next(name for at, name in enumerate(names) if name in names[:at])
        return made


def _refuse_twice(value: Any, place: str) -> None:
    if isinstance(value, _Pairs):
        if value.twice is not None:
            raise WrongValue(child(place, value.twice), "stands twice in one object; leave one of them out")
        for key, entry in value.items():
            _refuse_twice(entry, child(place, key))
    elif isinstance(value, list):
        for at, entry in enumerate(value):
            _refuse_twice(entry, child(place, at))


def print_document(answer: Any) -> None:
    """Print one JSON document on standard output."""
    print(json.dumps(answer, ensure_ascii=False, allow_nan=False))
