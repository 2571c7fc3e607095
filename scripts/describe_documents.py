"""What commands read and print, for docs/reference/documents.md: gathered while each answers an example.

A key is listed because the command's own reader asked for it; what is printed is told by its shape.
"""

from __future__ import annotations

import contextlib
import importlib
import inspect
import io
import json
import pkgutil
import re
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest import mock

ROOT = Path(__file__).resolve().parents[1]
STUDY = {
    "palette": {"red": "#c1121f", "blue": "#1d4ed8", "yellow": "#f2c200", "white": "#f5f5f0"},
    "rule": {
        "metal": {"F": "left leg", "M": "right leg"},
        "colours": {"F": {"right leg": 2}, "M": {"left leg": 2}},
    },
    "flock": {"F": 2, "M": 2},
    "schemes": ["next free", {"marks": "random free", "naming": "list"}],
    "season": {"rounds": 3},
    "seasons": 2,
}
Keys = dict[str, tuple[tuple[str, ...] | None, tuple[str, ...]]]


def examples() -> dict[str, dict[str, Any]]:
    """A sound document of each command that reads one."""
    if (tests := str(ROOT / "tests")) not in sys.path:
        sys.path.append(tests)
    from sound_documents import SOUND

    told: dict[str, Any] = json.loads(json.dumps({**SOUND, "study": STUDY}).replace("[bold]B", "B02"))
    # Long enough to be proven on any machine, so that the answer is always the same one.
    told["assign"]["rule"]["seconds"] = 30
    return told


def described(name: str, document: dict[str, Any]) -> list[str]:
    """The part of the page about one command."""
    module = importlib.import_module(f"tarsus.core.documents.{name.replace('-', '_')}")
    with _watched() as keys:
        printed = _printed(name, document)
    lines = [
        "",
        f"## `tarsus {name}`",
        _first(module),
        "",
        "| where | keys, those needed bold |",
        "|---|---|",
    ]
    lines += [f"| {_place(place)} | {_keys(*found)} |" for place, found in keys.items()]
    lines += ["", "An example:", "```json", _compact(document), "```"]
    return [*lines, "What is printed of it, by its shape:", "```json", _compact(_shape(printed)), "```"]


def _first(told: object) -> str:
    return (inspect.getdoc(told) or "").partition("\n\n")[0].replace("\n", " ")


def _place(place: str) -> str:
    return f"`{place}`" if place else "the document"


def _keys(known: tuple[str, ...] | None, required: tuple[str, ...]) -> str:
    if known is None:
        return "by site, colour or bird" + "".join(f", **`{key}`**" for key in required)
    return ", ".join(f"**`{key}`**" if key in required else f"`{key}`" for key in known)


@contextlib.contextmanager
def _watched() -> Iterator[Keys]:
    """Keep which keys each place may have, as they are asked for by the readers of documents."""
    from tarsus.core import documents
    from tarsus.core.documents import values

    found: Keys = {}
    real = values.parse_object

    def parse_object(value: Any, place: str, known: Any = None, required: Any = ()) -> dict[str, Any]:
        names = None if known is None else tuple(known)
        found.setdefault(_anywhere(place), (names, tuple(required)))
        return real(value, place, names, required)

    # All are there before the first is patched, or a later one would keep what was patched for ever.
    parts = [
        importlib.import_module(f"{documents.__name__}.{one.name}")
        for one in pkgutil.iter_modules(documents.__path__)
    ]
    with contextlib.ExitStack() as patches:
        for module in parts:
            if getattr(module, "parse_object", None) is real:
                patches.enter_context(mock.patch.object(module, "parse_object", parse_object))
        yield found


def _anywhere(place: str) -> str:
    """A place without the number or name of the one that was read: `birds[].marks`."""
    return re.sub(r"\[[^\]]*\]", "[]", place)


def _printed(name: str, document: dict[str, Any]) -> Any:
    from tarsus.cli.main import main

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "document.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        out = io.StringIO()
        with contextlib.redirect_stdout(out):
            status = main([name, str(path), "--json", *(["--workers", "1"] if name == "study" else [])])
    if status:
        raise SystemExit(f"tarsus {name} refuses the example of its own reference page")
    return json.loads(out.getvalue())


def _shape(value: Any) -> Any:
    """What kind of thing stands where; of a list one item, which has all that any of them has."""
    if isinstance(value, dict):
        return {key: _shape(one) for key, one in value.items()}
    if isinstance(value, list):
        shapes = [_shape(one) for one in value]
        return [_together(shapes)] if shapes else []
    if value is None:
        return "null"
    return "yes or no" if isinstance(value, bool) else "text" if isinstance(value, str) else "number"


def _together(shapes: list[Any]) -> Any:
    if all(isinstance(one, dict) for one in shapes):
        keys = dict.fromkeys(key for one in shapes for key in one)
        return {key: _together([one[key] for one in shapes if key in one]) for key in keys}
    if all(isinstance(one, list) for one in shapes):
        items = [item for one in shapes for item in one]
        return [_together(items)] if items else []
    words = sorted({one if isinstance(one, str) else "more" for one in shapes})
    return words[0] if len(words) == 1 else " or ".join(words)


def _compact(value: Any) -> str:
    """JSON with a line a key of the document."""
    if not isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False)
    rows = [f'  "{key}": {json.dumps(one, ensure_ascii=False)}' for key, one in value.items()]
    return "{\n" + ",\n".join(rows) + "\n}"
