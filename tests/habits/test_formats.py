"""Templates, scripts and style sheets: no line over 120, and what breaks them changes nothing shown."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from types import ModuleType

import pytest

from pages import as_taken

ROOT = Path(__file__).resolve().parents[2]


def breaker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("break_markup", ROOT / "scripts" / "break_markup.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def files(*endings: str) -> list[Path]:
    told = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, check=True, text=True).stdout
    return [ROOT / name for name in told.splitlines() if name.endswith(endings) and (ROOT / name).exists()]


def test_no_line_of_a_page_is_longer_than_a_screen_shows() -> None:
    long = {
        path.relative_to(ROOT).as_posix(): n
        for path in files(".html", ".css", ".js", ".mjs")
        if (n := sum(len(line) > 120 for line in path.read_text("utf-8").splitlines()))
    }
    assert not long, f"lines over 120, to be broken by make format or by hand: {long}"


class Shown(HTMLParser):
    """What a browser keeps of markup: tags with their attributes, and words with single blanks."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.pieces: list[object] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.pieces.append((tag, attrs))

    def handle_endtag(self, tag: str) -> None:
        self.pieces.append(tag)

    def handle_data(self, data: str) -> None:
        self.pieces.append(re.sub(r"\s+", " ", data))


PARAGRAPH = (
    '<ul class="named"><li><a class="one" href="/a">Kelp</a><b>Sedge and</b> Marram '
    "<i>{% if a %}x y{% endif %}</i></li>"
    '<li title="a long title with blanks in it"><span\n>Thrift</span>{{ one|join:", " }}</li></ul>'
)


def test_a_page_is_read_alike_however_it_is_broken_and_a_blank_that_is_seen_is_told_apart() -> None:
    read = as_taken('<p class="one  two">Kelp <b>and</b> Sedge</p><pre> a\n b</pre>')
    assert read == as_taken('<p\n  class="one  two"\n  >\n Kelp\n  <b>and</b> Sedge\n</p>\n<pre> a\n b</pre>')
    for other in (
        '<p class="one  two">Kelp <b>and</b>Sedge</p><pre> a\n b</pre>',
        '<p class="one  two">Kelp <b> and</b> Sedge</p><pre> a\n b</pre>',
        '<p class="one  two">Kel p <b>and</b> Sedge</p><pre> a\n b</pre>',
        '<p class="one two">Kelp <b>and</b> Sedge</p><pre> a\n b</pre>',
        '<p class="one  two">Kelp <b>and</b> Sedge</p><pre> a b</pre>',
    ):
        assert as_taken(other) != read, other


def test_what_a_style_asks_to_be_empty_holds_no_blank_of_the_markup() -> None:
    asked = {
        name for path in files(".css") for name in re.findall(r"\.([\w-]+):empty", path.read_text("utf-8"))
    }
    assert asked
    begun = re.compile(rf'<[^<>]*class="[^"]*\b(?:{"|".join(asked)})\b[^"]*"[^<>]*>(\s*)')
    found = [
        (path.name, blank)
        for path in files(".html", ".js")
        for blank in begun.findall(path.read_text("utf-8"))
    ]
    assert {name for name, blank in found if blank} == set(), "a blank within it: it is never empty"
    assert len(found) >= len(asked), "the markup of each is found"


@pytest.mark.parametrize("longest", [20, 30, 40, 60, 90])
def test_breaking_markup_changes_no_tag_no_attribute_and_no_word(longest: int) -> None:
    tool = breaker()
    broken = tool.broken(PARAGRAPH, tool.places_of_template(PARAGRAPH), longest)
    assert broken.count("\n") > PARAGRAPH.count("\n")
    # Beside the tag of a block a blank is dropped; anywhere else one that was not there would be seen.
    kept = [piece for piece in Shown(broken).pieces if piece != " "]
    told = [piece for piece in Shown(PARAGRAPH).pieces if piece != " "]
    assert [p.strip() if isinstance(p, str) else p for p in kept] == [
        p.strip() if isinstance(p, str) else p for p in told
    ]


def test_words_that_touch_stay_together_and_quoted_words_stay_on_their_line() -> None:
    tool = breaker()
    touching = '<b>one</b><i>two</i>{% if a %}three{% endif %}<span title="four five six">seven</span>'
    broken = tool.broken(touching, tool.places_of_template(touching), 10)
    assert re.sub(r"\n\s*>", ">", broken).replace("<span\n  title", "<span title") == touching
    assert 'title="four five six"' in broken


def test_only_the_markup_of_a_script_is_broken_and_never_a_string() -> None:
    tool = breaker()
    script = (
        "const a = 'one two three four five'; const re = /a b \"/;\n"
        'const b = html`<p class="x y">${c ? html`<b id="z">so it is</b>` : `not this one`}</p>`;\n'
    )
    broken = tool.broken(script, tool.places_of_script(script), 24)
    assert "'one two three four five'" in broken
    assert '/a b "/' in broken
    assert "`not this one`" in broken
    assert broken.count("\n") > 2


def test_a_comment_goes_on_in_its_next_line_and_a_tag_begins_its_own() -> None:
    tool = breaker()
    told = (
        "// one two three four five\n// six\nlet a; // stays as it is, however long\n"
        "/** a b c d e @param {x y} f */\n"
    )
    assert tool.with_short_comments(told, 20) == (
        "// one two three\n// four five six\nlet a; // stays as it is, however long\n"
        "/** a b c d e\n * @param {x y} f */\n"
    )


def test_breaking_twice_is_breaking_once() -> None:
    tool = breaker()
    for path in files(".html"):
        text = path.read_text("utf-8")
        once = tool.broken(text, tool.places_of_template(text))
        assert tool.broken(once, tool.places_of_template(once)) == once, path.name
