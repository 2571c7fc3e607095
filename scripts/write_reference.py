"""Write docs/reference/commands.md, settings.md, errors.md, deeds.md and documents.md from the code itself.

    .venv/bin/python scripts/write_reference.py

A test holds the pages to the code (tests/habits/test_reference.py): after a change to an option, a setting or
an error, run this and commit what it wrote.
"""

from __future__ import annotations

import argparse
import importlib
import importlib.util
import inspect
import os
import pkgutil
import re
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from unittest import mock

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "docs" / "reference"
WRITTEN = "<!-- Written by scripts/write_reference.py from the code; do not edit by hand. -->"

FORMS = (
    ("ParkForm", "The park", "lead, administrator"),
    ("ColourForm", "A colour of the palette", "lead"),
    ("SpeciesForm", "A species", "lead"),
    ("LimitsForm", "Limits of a species", "vet"),
)


class _Caught(Exception):
    """The parser of a command, at the moment it would have read its options."""

    def __init__(self, options: argparse.ArgumentParser) -> None:
        self.options = options


def commands() -> dict[str, tuple[str, argparse.ArgumentParser | None]]:
    """Every command with its summary and its parser; `None` where it hands over to another program."""
    from tarsus.cli.main import COMMANDS

    found: dict[str, tuple[str, argparse.ArgumentParser | None]] = {}
    for name, (module, summary) in COMMANDS.items():
        if importlib.util.find_spec(f"tarsus.cli.{module}") is not None:
            run = importlib.import_module(f"tarsus.cli.{module}").run
            found[name] = (summary, None if name == "manage" else _parser_of(run))
    return found


def _parser_of(run: Callable[[list[str]], int]) -> argparse.ArgumentParser:
    def caught(self: argparse.ArgumentParser, *_: Any, **__: Any) -> Any:
        raise _Caught(self)

    with mock.patch.object(argparse.ArgumentParser, "parse_args", caught):
        try:
            run([])
        except _Caught as found:
            return found.options
    raise AssertionError(f"{run.__module__} reads no options")


def commands_page() -> str:
    """Every command and its options."""
    lines = [
        WRITTEN,
        "# Commands",
        "",
        "`tarsus COMMAND [options]`. A command that refuses says why in one sentence on standard error,",
        "prints nothing on standard output, and ends with status 2. Commands that read a document (`DOC`)",
        "take a path, or `-` for standard input. Status 1: `tarsus import` took lines and refused others,",
        "`tarsus check` found something wrong.",
    ]
    for name, (summary, options) in commands().items():
        lines += ["", f"## `tarsus {name}`", summary]
        if options is None:
            lines += [
                "",
                "Hands over to the framework's own upkeep: `migrate` (`--new` makes a register), "
                "`createsuperuser`, `changepassword`.",
            ]
        else:
            lines += ["", "| | |", "|---|---|"]
            lines += [f"| {_written(action)} | {_cell(_told(action))} |" for action in _shown(options)]
    return "\n".join(lines) + "\n"


def _shown(options: argparse.ArgumentParser) -> list[argparse.Action]:
    actions = [action for action in options._actions if not isinstance(action, argparse._HelpAction)]
    return sorted(actions, key=lambda action: bool(action.option_strings))


def _written(action: argparse.Action) -> str:
    if not action.option_strings:
        return f"`{action.metavar or action.dest.upper()}`"
    value = ""
    if action.nargs != 0:
        value = " " + (
            "\\|".join(map(str, action.choices))
            if action.choices
            else str(action.metavar or ("N" if action.type is int else action.dest.upper()))
        )
    return f"`{', '.join(action.option_strings)}{value}`"


def _told(action: argparse.Action) -> str:
    said = (action.help or "").replace("%%", "%").replace("%(default)s", str(action.default))
    if action.default not in (None, "", False, []) and "default" not in said and action.nargs != 0:
        said += f" (default: {action.default})"
    return said


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def settings_page() -> str:
    """What the environment and the page *Settings* may say."""
    _setup()
    from tarsus.server.environment import SETTINGS

    source = (ROOT / "src/tarsus/server/settings.py").read_text(encoding="utf-8")
    odd = set(re.findall(r"\"(TARSUS_[A-Z_]+)\"", source)) ^ {setting.name for setting in SETTINGS}
    if odd:
        raise SystemExit(f"server/environment.py and the settings differ in {', '.join(sorted(odd))}")
    lines = [
        WRITTEN,
        "# Settings",
        "",
        "## What an installation is told",
        "By a variable of the environment, or by a line of `tarsus.toml`: the file that TARSUS_SETTINGS",
        "names, else the one in the folder where Tarsus is started, else `/etc/tarsus/tarsus.toml`. A",
        "variable goes before a line. Read once, when a command or the server starts; `tarsus settings`",
        "shows what holds and who said it.",
        "",
        "| variable | in the file | without it | meaning |",
        "|---|---|---|---|",
        *(_setting_row(setting) for setting in sorted(SETTINGS, key=lambda one: one.name)),
        "",
        "## What the page *Settings* says",
        "Kept in the register; every change is kept with its person and time.",
    ]
    forms = importlib.import_module("tarsus.web.settings_forms")
    for form, title, who in FORMS:
        lines += ["", f"### {title} ({who})", "", "| | |", "|---|---|"]
        for field in getattr(forms, form)().fields.values():
            lines.append(f"| {_cell(str(field.label))} | {_cell(str(field.help_text))} |")
    return "\n".join(lines) + "\n"


def _setting_row(setting: Any) -> str:
    key = f"`{setting.key}`" if setting.by_hand else ""
    return f"| `{setting.name}` | {key} | {setting.without} | {setting.meaning} |"


def errors_page() -> str:
    """The one tree of refusals."""
    _setup()
    from tarsus.core.errors import TarsusError

    for module in _modules():
        importlib.import_module(module)
    lines = [
        WRITTEN,
        "# What Tarsus refuses",
        "",
        "One tree, in two branches by whose turn it is: `MalformedInput` (whoever asked must change",
        "something; the sentence says where and how) and `NoAnswer` (the question is sound, without answer).",
        "",
        *_branch(TarsusError, 0),
    ]
    return "\n".join(lines) + "\n"


def deeds_page() -> str:
    """Every deed: its fields, who may, and how it is taken back."""
    from tarsus.core.deeds.register import FAMILIES
    from tarsus.core.deeds.rights import ROLES, in_words

    lines = [
        WRITTEN,
        "# Deeds",
        "",
        "Everything that can be written down, by page (`/deeds/<name>/`), phone (`POST /facts`), program",
        "(`POST /api/v1/facts`) and command (`tarsus tell`). The name is the kind of fact; needed fields are",
        "bold. What a shared phone or a device may tell in another keeper's name is what a keeper may do.",
        "",
        "## Who may do what",
        "",
        f"| deed | {' | '.join(ROLES)} |",
        f"|---|{'---|' * len(ROLES)}",
    ]
    deeds = [deed for family in FAMILIES.values() for deed in family]
    for deed in deeds:
        marks = " | ".join("yes" if deed.allowed_to(role) else "" for role in ROLES)
        lines.append(f"| `{deed.name}` | {marks} |")
    for family, told in FAMILIES.items():
        lines += ["", f"## {family}"]
        for deed in told:
            where = "also without signal" if deed.offline else "with signal"
            back = f"not taken back: {deed.final}" if deed.final else "taken back by `withdrawn`"
            lines += ["", f"### `{deed.name}`: {deed.title}"]
            lines += [f"For {in_words(deed.who_may)}; {where}; {back}.", ""]
            lines += ["| field | holds | limits |", "|---|---|---|"]
            lines += [
                f"| {_field_name(one)} | {_cell(one.label)} ({one.kind}) | {_limits(one)} |"
                for one in deed.fields
            ]
    return "\n".join(lines) + "\n"


def documents_page() -> str:
    """Every document that a command reads: its keys, an example, and what is printed of it."""
    spec = importlib.util.spec_from_file_location(
        "describe_documents", ROOT / "scripts/describe_documents.py"
    )
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    examples = script.examples()
    reads = [
        name
        for name, (_, options) in commands().items()
        if options is not None and any(action.metavar == "DOC" for action in options._actions)
    ]
    if odd := set(reads) ^ examples.keys():
        raise SystemExit(f"give an example, in tests/sound_documents.py, of {', '.join(sorted(odd))}")
    lines = [
        WRITTEN,
        "# Documents",
        "",
        "What commands read (`tarsus COMMAND DOC`) and print with `--json`. An unknown key is refused by",
        "name, with the place where it stands. Left and right are always the bird's own, bands are told from",
        "the body outward: `metal` or a colour of the palette. In a reading a site that is missing was not",
        'seen, `[]` was seen to be bare, `"?"` is one band of any colour and `"*"` any number of them;',
        '`"swap"` beside its sites is the chance that left and right are exchanged. Chances are 0 to 1.',
        "A place such as `birds[].marks` is the same for each bird.",
    ]
    for name in reads:
        lines += script.described(name, examples[name])
    return "\n".join(lines) + "\n"


def _field_name(field: Any) -> str:
    return f"**`{field.name}`**" if field.required else f"`{field.name}`"


def _limits(field: Any) -> str:
    from tarsus.core.deeds.days import span_in_words

    if field.parts:
        return "; ".join(f"{_field_name(part)} {_limits(part) or part.kind}" for part in field.parts)
    if field.choices:
        return ", ".join(field.words)
    if field.low is not None:
        return f"{field.low:g} to {field.high:g} {field.unit}".strip()
    if field.ahead is not None:
        return span_in_words(field)
    return f"{field.longest} characters" if field.longest else ""


def _modules() -> Iterator[str]:
    import tarsus

    for found in pkgutil.walk_packages(tarsus.__path__, "tarsus."):
        if ".migrations" not in found.name and not found.name.startswith("tarsus.server"):
            yield found.name


def _branch(kind: type[Exception], depth: int) -> Iterator[str]:
    said = (inspect.getdoc(kind) or "").split("\n\n")[0].replace("\n", " ")
    where = kind.__module__.removeprefix("tarsus.")
    yield f"{'  ' * depth}- **{kind.__name__}** ({where}): {said}"
    for leaf in sorted(kind.__subclasses__(), key=lambda one: (one.__name__, one.__module__)):
        if leaf.__module__.startswith("tarsus."):
            yield from _branch(leaf, depth + 1)


def _setup() -> None:
    """Ready the framework, for pages and errors of the upper layers."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tarsus.server.settings")
    import django
    from django.apps import apps

    if not apps.ready:
        django.setup()


PAGES = {
    "commands.md": commands_page,
    "settings.md": settings_page,
    "errors.md": errors_page,
    "deeds.md": deeds_page,
    "documents.md": documents_page,
}


def main() -> int:
    """Write the pages."""
    with tempfile.TemporaryDirectory() as home:
        os.environ["TARSUS_HOME"] = home
        for name, page in PAGES.items():
            (FOLDER / name).write_text(page(), encoding="utf-8")
            print(f"wrote docs/reference/{name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
