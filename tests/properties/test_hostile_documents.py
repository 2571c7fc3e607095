"""Whatever stands in a command's document: an answer, or one sentence; no traceback, no half answer.

A sound document of each command is damaged in one to three places: values of other kinds and sizes, keys left
out, added or written twice, lists within lists.
"""

from __future__ import annotations

import contextlib
import copy
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuzz import VALUES, WORDS, ran, share
from sound_documents import SOUND
from tarsus.cli.main import main


def places(document: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place of a document, itself included."""
    yield path
    inner = (
        document.items()
        if isinstance(document, dict)
        else enumerate(document)
        if isinstance(document, list)
        else ()
    )
    for key, entry in inner:
        yield from places(entry, (*path, key))


@st.composite
def damaged(draw: st.DrawFn, sound: dict[str, Any]) -> str:
    """The text of a document that was sound."""
    document: Any = copy.deepcopy(sound)
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from(sorted(places(document), key=repr)))
        if not path:
            document = draw(VALUES) if draw(st.integers(0, 9)) == 0 else document
            continue
        within = document
        for key in path[:-1]:
            within = within[key]
        match draw(st.sampled_from(["change", "change", "change", "leave out", "add", "same again"])):
            case "change":
                within[path[-1]] = draw(VALUES)
            case "leave out":
                del within[path[-1]]
            case "add" if isinstance(within, dict):
                within[draw(WORDS)] = draw(VALUES)
            case "same again" if isinstance(within, list):
                within.append(within[path[-1]])
        if not isinstance(document, dict | list):
            break
    text = json.dumps(document, ensure_ascii=draw(st.booleans()))
    match draw(st.integers(0, 30)):
        case 0:
            return text[: draw(st.integers(0, len(text)))]
        case 1:
            return text.replace("1", "9" * 5000, 1)
        case 2:
            return text.replace("[", "[" * 50_000, 1)
        case 3:
            return text.replace("{", '{"twice": 1, "twice": 2, ', 1)
    return text


def answered(command: str, text: str, folder: Path, *wishes: str) -> tuple[int, str, str]:
    """Exit status, what was printed, and what was refused."""
    path = folder / "document.json"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    return ran([command, str(path), *wishes])


@pytest.mark.parametrize("command", SOUND)
def test_a_sound_document_is_answered(command: str, tmp_path: Path) -> None:
    for wishes in ((), ("--json",)):
        status, out, err = answered(command, json.dumps(SOUND[command]), tmp_path, *wishes)
        assert (status, err) == (0, "")
        assert out


@pytest.mark.parametrize("command", SOUND)
def test_a_damaged_document_is_answered_or_refused_in_one_sentence(
    command: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("fuzz")
    examples, heard = share("documents") // len(SOUND), []

    @settings(max_examples=examples, deadline=None)
    @given(damaged(SOUND[command]), st.booleans())
    def hold(text: str, as_json: bool) -> None:
        heard.append(text)
        status, out, err = answered(command, text, folder, *(["--json"] if as_json else []))
        assert status in (0, 2), (status, err)
        if status == 0 and as_json:
            json.loads(out)
        if status == 2:
            assert out == "", "half an answer is none"
            assert err.startswith("tarsus: ")
            assert err.count("\n") == 1, err
            assert len(err) < 1500, err

    hold()
    assert len(heard) >= examples


@pytest.mark.parametrize("command", ["identify", "reconcile", "watch"])
def test_what_looks_like_markup_is_printed_as_it_is_given(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    text = json.dumps(SOUND[command]).replace('"A01"', '"[bold]X[/bold] :bird: 7"')
    for wishes in ((), ("--json",)):
        _, out, _ = answered(command, text, tmp_path, *wishes)
        assert "[bold]B" in out
        assert "[bold]X[/bold] :bird: 7" in out


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"palette": {}, "palette": {}}', "palette: stands twice in one object; leave one of them out"),
        ('{"birds": [{"id": 1, "id": 1}]}', "birds[0].id: stands twice in one object; leave one of them out"),
        ("[" * 50_000 + "]" * 50_000, "is nested too deep; write at most 100 levels"),
        ("[" * 102 + "]" * 102, "is nested too deep; write at most 100 levels"),
        ('{"strangers": ' + "9" * 5000 + "}", "has a number of 5000 digits; write at most 1000"),
        ("{", "is no JSON at line 1, column 2"),
    ],
)
def test_a_text_that_is_no_document_of_ours_says_why(text: str, said: str, tmp_path: Path) -> None:
    status, out, err = answered("identify", text, tmp_path)
    assert (status, out) == (2, "")
    assert said in err


def test_a_file_that_is_none_or_not_in_utf_8_says_so(tmp_path: Path) -> None:
    path = tmp_path / "latin.json"
    path.write_bytes(b'{"a": "\xe9"}')
    for asked, said in ((str(path), "is not written in UTF-8; save it so"), ("a\x00b", "cannot be read")):
        err = io.StringIO()
        with contextlib.redirect_stderr(err):
            assert main(["identify", asked]) == 2
        assert said in err.getvalue()


def test_a_refusal_cuts_the_document_s_own_long_names_short(tmp_path: Path) -> None:
    document = copy.deepcopy(SOUND["catch-up"])
    document["birds"][0] |= {"id": "A" + "9" * 5000, "mate": "nobody"}
    status, out, err = answered("catch-up", json.dumps(document), tmp_path)
    assert (status, out) == (2, "")
    assert "is no bird of this document" in err
    assert len(err) < 1500
