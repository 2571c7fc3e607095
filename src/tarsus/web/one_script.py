"""All modules of the pages as one file, put together once, when it is first asked for: decision 0064.

A roll call stands on some hundred modules. On a slow phone each is a question to the service worker, and the
last is asked for once the one before it was read. In one file they are one question. Nobody builds anything:
what is written, checked and tested are the modules; each becomes a function, run when it is first needed.
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

NAME = "page/all.js"
"""Where the one file lies among the static files; what a module says of its own address is true of it too."""
FOLDERS = ("page", "shared")
CLASSIC = frozenset({"page/scheme.js"})
"""No module: it runs before the page is drawn."""

TAKEN = re.compile(r"^import (?:(\{[^}]*\}|\* as \w+) from )?'([^']+)';$", re.M)
HANDED_ON = re.compile(r"^export \{([^}]*)\} from '([^']+)';$", re.M)
GIVEN = re.compile(r"^export (?=(?:async )?(?:function\*?|class) (\w+)|(const \w(?s:.*?));$)", re.M)
INNER = re.compile(r"\([^()]*\)|\[[^][]*\]|\{[^{}]*\}|'[^']*'|`[^`]*`")
SET = re.compile(r"(?:^const|,) *\n? *(\w+) =(?!>)")
LISTED = re.compile(r"^export \{([^}]*)\};$", re.M)
LEFT_OVER = re.compile(r"^(?:import|export)\b.*", re.M)
COMMENT = re.compile(r"^ *(?://.*|/\*(?:[^*]|\*(?!/))*\*/)\n", re.M)
"""With the lines to itself; the modules have more words about what they do than a phone should carry."""

BEGINS = """const ways = new Map(), made = new Map();
const need = (name) => {
  if (!made.has(name)) made.set(name, ways.get(name)());
  return made.get(name);
};
"""
ENDS = "for (const { content } of document.querySelectorAll('meta[name=script]')) need(content);\n"
"""A page names its scripts: a module is read once the page is there, in the order in which they are named."""


class NotUnderstood(Exception):
    """A module takes or gives something in a way that is not known here. The message names it."""


STATIC = Path(__file__).parent / "static"


@cache
def one_script() -> str:
    """The one file, made of the modules as they lie in `static`."""
    files = [file for folder in FOLDERS for file in (STATIC / folder).rglob("*.js")]
    modules = {file.relative_to(STATIC).as_posix(): file.read_text("utf-8") for file in files}
    return together({name: text for name, text in modules.items() if name not in CLASSIC})


def stands_on(name: str) -> set[str]:
    """A module that is not in the one file, and all that it takes from, near and far."""
    found, open_ = {name}, [name]
    while open_:
        here = open_.pop()
        further = set(needs(here, (STATIC / here).read_text("utf-8"))) - found
        found |= further
        open_ += further
    return found


def together(modules: Mapping[str, str]) -> str:
    """One module that holds all of `modules` (address -> text) and runs those that the page names.

    Raises NotUnderstood for a form of import or export that the house's modules do not use, and for a module
    that is not there.
    """
    return BEGINS + "".join(_as_function(name, modules) for name in sorted(modules)) + ENDS


def needs(name: str, text: str) -> list[str]:
    """The addresses of the modules that a module stands on, in their order."""
    found = [*TAKEN.finditer(text), *HANDED_ON.finditer(text)]
    return [_address(name, one[2]) for one in sorted(found, key=lambda one: one.start())]


def _as_function(name: str, modules: Mapping[str, str]) -> str:
    text = COMMENT.sub("", modules[name])
    for other in needs(name, text):
        if other not in modules:
            raise NotUnderstood(f"{name} takes from {other}, which is no module of the pages")
    given = [one for name, const in GIVEN.findall(text) for one in ([name] if name else _set_in(const))]
    given += [part for found in LISTED.findall(text) for part in _parts(found)]
    for listed, address in HANDED_ON.findall(text):
        given += [f"{part}: {_needed(name, address)}.{part}" for part in _parts(listed)]
    if renamed := next((part for part in given if " as " in part), None):
        raise NotUnderstood(f"{name}: export {{ {renamed} }}")
    body = TAKEN.sub(lambda found: _taken(name, found), text)
    for form in (HANDED_ON, LISTED, GIVEN):
        body = form.sub("", body)
    if left := LEFT_OVER.search(body):
        raise NotUnderstood(f"{name}: {left[0]}")
    return f"ways.set({json.dumps(name)}, () => {{\n{body.strip()}\nreturn {{ {', '.join(given)} }};\n}});\n"


def _taken(name: str, found: re.Match[str]) -> str:
    what, needed = found[1], _needed(name, found[2])
    if what is None:
        return f"{needed};"
    if what.startswith("*"):
        return f"const {what.removeprefix('* as ')} = {needed};"
    return f"const {{ {', '.join(part.replace(' as ', ': ') for part in _parts(what))} }} = {needed};"


def _set_in(const: str) -> list[str]:
    """The names that `const a = 1, b = [2, 3]` sets."""
    while (less := INNER.sub("", const)) != const:
        const = less
    return SET.findall(re.split(r"[([{`]", const)[0])


def _needed(name: str, address: str) -> str:
    return f"need({json.dumps(_address(name, address))})"


def _parts(listed: str) -> list[str]:
    return [part.strip() for part in listed.strip("{}").split(",") if part.strip()]


def _address(name: str, address: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), address))
