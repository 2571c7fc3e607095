"""Whatever stands in a command's document: an answer, or one sentence; no traceback, no half answer.

A sound document of each command is damaged in one to three places: values of other kinds and sizes, keys left
out, added or written twice, lists within lists. `TARSUS_FUZZ` is how many documents a command gets (40).
"""

from __future__ import annotations

import contextlib
import copy
import io
import json
import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tarsus.cli.main import main

EXAMPLES = int(os.environ.get("TARSUS_FUZZ", "40"))
PATIENCE_S = 20
PALETTE = {"red": "#c1121f", "blue": "#1d4ed8", "yellow": "#f2c200", "white": "#f5f5f0"}
BIRDS = [
    {"id": "A01", "marks": {"left leg": ["metal"], "right leg": ["red", "blue"]}},
    {"id": "[bold]B", "marks": {"left leg": ["metal"], "right leg": ["yellow", "blue"]}, "prior": 0.5},
]
READING = {"left leg": ["metal"], "right leg": ["red", "?"]}
READ = {"palette": PALETTE, "reader": "trained", "birds": BIRDS, "strangers": 0.001}
SOUND: dict[str, dict[str, Any]] = {
    "identify": {**READ, "readings": [READING, {"right leg": ["yellow", "*"], "swap": 0.2}]},
    "reconcile": {**READ, "groups": [[READING, {}], [{"right leg": ["yellow"]}]]},
    "assign": {
        "palette": PALETTE,
        "reader": "trained",
        "rule": {
            "metal": {"F": "left leg", "M": "right leg", "U": None},
            "colours": {"F": {"right leg": 2}, "M": {"left leg": 2}, "U": {"left leg": 1, "right leg": 1}},
            "repeat_on_a_site": True,
            "seconds": 0.2,
        },
        "worn": [{"id": "A01", "sex": "F", "marks": BIRDS[0]["marks"]}],
        "wanted": [{"id": "new-1", "sex": "F"}, {"id": "new-2", "sex": "M", "mate": "A01"}],
        "stock": {"red": 12, "blue": 3},
    },
    "watch": {
        "rounds": ["2026-03-01", "2026-03-02", "2026-03-03"],
        "seen": {"A01": "1.0", "[bold]B": "x10"},
        "gone_per_year": 0.05,
        "max_unseen_days": 3,
    },
    "learn": {
        "palette": PALETTE,
        "reader": "trained",
        "checks": [{"read": READING, "worn": BIRDS[0]["marks"]}],
    },
    "weights": {
        "weights": [
            {"at": "2026-01-03T07:30", "grams": 301, "scale": "hanging", "fed": False, "moulting": False},
            {"at": "2026-02-03T07:30", "grams": 270},
        ],
        "prompt_percent": 5,
        "alarm_percent": 10,
    },
    "catch-up": {
        "minutes": 20,
        "chase": 5,
        "birds": [
            {"id": "A01", "worth": 6.0, "minutes": 4, "mate": "A02", "must": False, "never": False},
            {"id": "A02", "worth": 2.0, "minutes": 4},
        ],
    },
    "inventory": {
        "first": "2026-11-01",
        "last": "2026-11-30",
        "birds": [
            {
                "id": "A01",
                "species": "Pied avocet",
                "owned": True,
                "events": [
                    {"on": "2020-05-01", "what": "hatched", "sex": "U"},
                    {"on": "2026-11-07", "what": "resexed", "sex": "F"},
                ],
            }
        ],
    },
    "photograph": {
        "palette": PALETTE,
        "mean": 0.21,
        "metal": [[128, 123, 104], [120, 121, 119]],
        "bands": [[[118, 21, 54], [110, 25, 60]], [[54, 50, 200], [60, 61, 190]]],
        "birds": BIRDS,
        "reader": "trained",
        "worn": {"left leg": ["metal"], "right leg": [0, 1]},
    },
}

WORDS = st.sampled_from(
    [
        "",
        " ",
        "\ud800",
        "a\x00b",
        "[bold]X",
        ":bird:",
        "é" * 400,
        "null",
        "metal",
        "*",
        "?",
        "0001-01-01",
        "9" * 400,
    ]
) | st.text(max_size=12)
NUMBERS = st.sampled_from(
    [0, -1, 1, 10**400, -(10**400), 2**63, 1e308, -1e308, 5e-324, float("nan"), float("inf"), 0.5, True]
)
SMALL = st.one_of(st.none(), st.booleans(), NUMBERS, WORDS)
VALUES = st.recursive(
    SMALL,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=6,
)


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


def ran(command: str, text: str, folder: Path, *wishes: str) -> tuple[int, str, str]:
    """Exit status, what was printed, and what was refused."""
    path = folder / "document.json"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    out = io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True)
    err = io.TextIOWrapper(io.BytesIO(), "utf-8", "backslashreplace", write_through=True)

    def out_of_patience(*_: Any) -> None:
        raise TimeoutError(f"{command} took more than {PATIENCE_S} s")

    before = signal.signal(signal.SIGALRM, out_of_patience)
    signal.alarm(PATIENCE_S)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                status = main([command, str(path), *wishes])
            except SystemExit as ended:
                status = int(ended.code or 0)
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
    said = [stream.buffer.getvalue().decode() for stream in (out, err)]  # type: ignore[attr-defined]  # a stream of bytes
    return status, said[0], said[1]


@pytest.mark.parametrize("command", SOUND)
def test_a_sound_document_is_answered(command: str, tmp_path: Path) -> None:
    for wishes in ((), ("--json",)):
        status, out, err = ran(command, json.dumps(SOUND[command]), tmp_path, *wishes)
        assert (status, err) == (0, "")
        assert out


@pytest.mark.parametrize("command", SOUND)
def test_a_damaged_document_is_answered_or_refused_in_one_sentence(
    command: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("fuzz")

    @settings(max_examples=EXAMPLES, deadline=None, derandomize=EXAMPLES <= 100)
    @given(damaged(SOUND[command]), st.booleans())
    def hold(text: str, as_json: bool) -> None:
        status, out, err = ran(command, text, folder, *(["--json"] if as_json else []))
        assert status in (0, 2), (status, err)
        if status == 0 and as_json:
            json.loads(out)
        if status == 2:
            assert out == "", "half an answer is none"
            assert err.startswith("tarsus: ")
            assert err.count("\n") == 1, err
            assert len(err) < 1500, err

    hold()


@pytest.mark.parametrize("command", ["identify", "reconcile", "watch"])
def test_what_looks_like_markup_is_printed_as_it_is_given(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    text = json.dumps(SOUND[command]).replace('"A01"', '"[bold]X[/bold] :bird: 7"')
    for wishes in ((), ("--json",)):
        _, out, _ = ran(command, text, tmp_path, *wishes)
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
    status, out, err = ran("identify", text, tmp_path)
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
