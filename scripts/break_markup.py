"""Break long lines where no formatter does: markup, in templates and scripts, and a script's comments.

No formatter that was tried breaks a template's lines without changing words: a break between two words that
touch is a blank on the page. Here a break replaces a blank within a tag, a blank between two words, or stands
beside the tag of a block, where HTML drops it.
"""

from __future__ import annotations

import re
import sys
from bisect import bisect_right
from collections.abc import Iterator
from pathlib import Path

LONGEST = 120
BLOCKS = frozenset(
    {
        *(
            "article",
            "aside",
            "body",
            "dd",
            "details",
            "div",
            "dl",
            "dt",
            "fieldset",
            "figure",
            "footer",
            "form",
        ),
        *(
            "h1",
            "h2",
            "h3",
            "h4",
            "head",
            "header",
            "html",
            "legend",
            "li",
            "main",
            "nav",
            "ol",
            "p",
            "section",
        ),
        *("summary", "table", "tbody", "td", "tfoot", "th", "thead", "tr", "ul"),
    }
)
BESIDE_A_BLOCK, IN_A_TAG, IN_WORDS, AT_A_TAGS_END = 1, 2, 3, 4
TEMPLATE_PIECE = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", re.DOTALL)
TAG_NAME = re.compile(r"</?([a-z][a-z0-9-]*)")
COMMENT = re.compile(r"( *)(//|/\*\*|\*) ")
REGEX_MAY_FOLLOW = frozenset("(,=:[!&|?{};\n>")


class Markup:
    """Reads markup letter by letter and knows where a break would show nowhere."""

    def __init__(self, text: str, found: dict[int, int]) -> None:
        self.text, self.found = text, found
        self.quote, self.in_tag, self.block, self.verbatim = "", False, False, False

    def letter(self, at: int) -> None:
        """Take the letter at this place, which is no part of a template's or a script's own piece."""
        sign = self.text[at]
        if self.quote:
            self.quote = "" if sign == self.quote else self.quote
        elif self.in_tag:
            self._within_tag(at, sign)
        elif sign == "<" and (name := TAG_NAME.match(self.text, at)):
            self.in_tag, self.block = True, name[1] in BLOCKS
            self.verbatim = name[1] in ("pre", "textarea") and self.text[at + 1] != "/"
            if self.block and not self.text[at - 1 : at].isspace() and self.text[at - 1 : at] != ">":
                self.found.setdefault(at, BESIDE_A_BLOCK)
        elif sign == " " and not self.verbatim and not self._beside_blank(at):
            self.found[at] = IN_WORDS

    def _within_tag(self, at: int, sign: str) -> None:
        if sign in "\"'":
            self.quote = sign
        elif sign == ">":
            self.in_tag = False
            closes_at_once = self.text.startswith("</", at + 1)
            if self.block and not closes_at_once and not self.text[at + 1 : at + 2].isspace():
                self.found[at + 1] = BESIDE_A_BLOCK
            if self.text[at - 1] not in "/ \n":
                self.found.setdefault(at, AT_A_TAGS_END)
        elif sign == " " and not self._beside_blank(at):
            self.found[at] = IN_A_TAG

    def _beside_blank(self, at: int) -> bool:
        return self.text[at - 1 : at].isspace() or self.text[at + 1 : at + 2].isspace()


def places_of_template(text: str) -> dict[int, int]:
    """Where a template may be broken, by place, and what stands there."""
    found: dict[int, int] = {}
    markup, at = Markup(text, found), 0
    while at < len(text):
        piece = TEMPLATE_PIECE.match(text, at)
        if piece:
            at = piece.end()
        else:
            markup.letter(at)
            at += 1
    return found


def places_of_script(text: str) -> dict[int, int]:
    """Where the markup in a script's `html` literals may be broken, by place, and what stands there."""
    found: dict[int, int] = {}
    for literal in _literals(text):
        markup = Markup(text, found)
        for at in literal:
            markup.letter(at)
    return found


def _literals(text: str) -> Iterator[list[int]]:
    """The places of the letters of each `html` literal, without what its `${}` hold."""
    # What is open: a literal with its letters, or braces of code with their depth.
    open_: list[tuple[list[int], bool] | int] = [0]
    at = 0
    while at < len(text):
        top = open_[-1]
        if isinstance(top, int):
            at = _code(text, at, open_)
        elif text[at] == "\\":
            at += 2
        elif text[at] == "`":
            open_.pop()
            if top[1]:
                yield top[0]
            at += 1
        elif text.startswith("${", at):
            open_.append(0)
            at += 2
        else:
            top[0].append(at)
            at += 1


def _code(text: str, at: int, open_: list[tuple[list[int], bool] | int]) -> int:
    """Step over one piece of code; returns where the next begins."""
    sign, depth = text[at], open_[-1]
    assert isinstance(depth, int)
    if text.startswith("//", at):
        return _after(text, "\n", at)
    if text.startswith("/*", at):
        return _after(text, "*/", at + 2)
    if sign in "'\"" or (sign == "/" and _begins_regex(text, at)):
        return _end_of_quoted(text, at)
    if sign == "`":
        open_.append(([], text[:at].endswith("html")))
    elif sign == "{":
        open_[-1] = depth + 1
    elif sign == "}" and depth == 0 and len(open_) > 1:
        open_.pop()
    elif sign == "}":
        open_[-1] = depth - 1
    return at + 1


def _after(text: str, end: str, at: int) -> int:
    found = text.find(end, at)
    return len(text) if found < 0 else found + len(end)


def _begins_regex(text: str, at: int) -> bool:
    before = text[:at].rstrip(" ")
    return before[-1:] in REGEX_MAY_FOLLOW or before.endswith("return")


def _end_of_quoted(text: str, at: int) -> int:
    end, in_class, at = text[at], False, at + 1
    while at < len(text) and text[at] != "\n":
        if text[at] == "\\":
            at += 1
        elif end == "/" and text[at] in "[]":
            in_class = text[at] == "["
        elif text[at] == end and not in_class:
            return at + 1
        at += 1
    return at


def broken(text: str, places: dict[int, int], longest: int = LONGEST) -> str:
    """The text with its long lines broken at the best of these places; other lines stay as they are."""
    written, start = [], 0
    ordered = sorted(places)
    for line in text.splitlines(keepends=True):
        indent = " " * (len(line) - len(line.lstrip(" ")) + 2)
        begin, end, lead = start, start + len(line.rstrip("\n")), 0
        while end - begin + lead > longest:
            here = _best(ordered, places, begin, end, longest - lead)
            if here is None:
                break
            written.append(text[begin:here].rstrip(" ") + "\n" + indent)
            begin, lead = here + (text[here] == " "), len(indent)
        start += len(line)
        written.append(text[begin:start])
    return "".join(written)


def _best(ordered: list[int], places: dict[int, int], begin: int, end: int, room: int) -> int | None:
    """The last fitting place beside a block, else in a tag, else between words; else the first beyond."""
    first = bisect_right(ordered, begin)
    within = [at for at in ordered[first : bisect_right(ordered, begin + room)] if at < end]
    for kind, least in (
        (BESIDE_A_BLOCK, 0.3),
        (IN_A_TAG, 0.3),
        (IN_WORDS, 0.3),
        (AT_A_TAGS_END, 0.3),
        (0, 0.0),
    ):
        fitting = [at for at in within if (places[at] == kind or not kind) and at - begin > least * room]
        if fitting:
            return fitting[-1]
    beyond = ordered[bisect_right(ordered, begin + room) :]
    return beyond[0] if beyond and beyond[0] < end else None


def with_short_comments(text: str, longest: int = LONGEST) -> str:
    """A script whose comments fit their lines: what is too long goes on in the comment's next line."""
    lines, written, at, in_block = text.split("\n"), [], 0, False
    while at < len(lines):
        line = lines[at]
        at += 1
        begun = COMMENT.match(line)
        is_line = bool(begun and begun[2].startswith("//"))
        is_block = bool(begun and (in_block or begun[2].startswith("/**")) and not is_line)
        in_block = (in_block or line.lstrip().startswith("/**")) and "*/" not in line
        here = _place_in_comment(line, begun.end(), longest) if begun and (is_line or is_block) else 0
        if len(line) <= longest or not begun or not here:
            written.append(line)
            continue
        sign = begun[1] + ("// " if is_line else " * " if begun[2].startswith("/**") else "* ")
        rest, following = line[here + 1 :], lines[at] if at < len(lines) else ""
        written.append(line[:here])
        in_block = is_block and "*/" not in rest
        goes_on = following.startswith(sign) and not rest.startswith("@") and "*/" not in rest
        if goes_on and not following.startswith((sign + "@", sign + " ")):
            lines[at] = f"{sign}{rest} {following[len(sign) :]}"
        else:
            lines.insert(at, sign + rest)
        in_block = is_block  # the end, if any, stands in the line that is yet to come
    return "\n".join(written)


def _place_in_comment(line: str, begin: int, longest: int) -> int:
    """The blank to break a comment's line at: before a tag, else outside a type's braces, else in them."""
    depth, fitting, before_tag, in_a_type = 0, 0, 0, 0
    for at, sign in enumerate(line[: longest + 1]):
        depth += (sign == "{") - (sign == "}")
        if sign == " " and depth == 0 and at > begin:
            fitting = at
            before_tag = at if line[at + 1] == "@" and at > longest // 3 else before_tag
        elif sign == " " and depth and line[at - 1] in ",|":
            in_a_type = at
    return before_tag or fitting or in_a_type


def formatted(path: Path) -> str:
    """What the file holds once its long lines of markup and of comments are broken."""
    text = path.read_text("utf-8")
    if path.suffix == ".html":
        return broken(text, places_of_template(text))
    text = with_short_comments(text)
    return broken(text, places_of_script(text))


def main(names: list[str]) -> int:
    """Break the long lines of each file; with `--check` only say which would change."""
    check, changed = "--check" in names, []
    for path in [Path(name) for name in names if name != "--check"]:
        text = formatted(path)
        if text != path.read_text("utf-8"):
            changed.append(path)
            if not check:
                path.write_text(text, "utf-8")
    for path in changed:
        print(f"{path}: {'has long lines of markup; run make format' if check else 'broken'}")
    return 1 if check and changed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
