"""Whatever stands behind a command's name: an answer or a refusal, never a traceback.

The words are the command's own options, in any order and number, among values that nobody can mean.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from fuzz import WORDS, ran, share
from refusing import Small
from tarsus.cli.main import COMMANDS
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.register import DEEDS
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
COMMAND_LINE = Path(__file__).parents[2] / "src" / "tarsus" / "cli"
SERVES = ("serve", "demo")
# No path but into the folder in which the test stands.
NAMES = WORDS.filter(lambda word: not set(word) & set("/~.\x00"))
NUMBERS = st.sampled_from(["0", "-1", "1", "2", "3", "9", "1e9", "9" * 400, "٣", "nan"])


def words_of(command: str) -> st.SearchStrategy[list[str]]:
    """Command lines of one command."""
    source = (COMMAND_LINE / f"{COMMANDS[command][0]}.py").read_text(encoding="utf-8")
    options = sorted(set(re.findall(r'"(--[a-z-]+)"', source)) | {"--json"})
    value = NAMES | NUMBERS | st.sampled_from(["--by=corin", "document.json", "birds", "-"])
    told = st.tuples(st.sampled_from(options), value)
    several = st.lists(
        st.one_of(told, told.map(lambda one: (f"{one[0]}={one[1]}",)), st.tuples(value)), max_size=4
    )
    lines = several.map(lambda parts: [word for part in parts for word in part])
    if command == "tell":
        lines = st.one_of(lines, *(deeds_told(deed) for deed in DEEDS.values()))
    if command in SERVES:
        # A port that is none, so that none of them goes on to serve.
        lines = lines.map(lambda line: [*line, "--port", "none"])
    return lines.map(lambda line: [command, *line])


def deeds_told(deed: Deed) -> st.SearchStrategy[list[str]]:
    value = NAMES | NUMBERS | st.sampled_from(["[1]", "{}", "true", "2026-06-11", "[[[", '{"a": 1, "a": 2}'])
    field = st.sampled_from([field.name for field in deed.fields] + ["at", "id", "more"])
    said = st.lists(st.builds("{}={}".format, field, value), min_size=1, max_size=4)
    return said.map(lambda words: [deed.name, *words, "--by", "corin"])


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, settings: Any) -> Path:
    """An empty folder to stand in, the register's own as well; what commands tell the process is undone."""
    monkeypatch.chdir(tmp_path)
    settings.HOME, settings.BACKUPS = tmp_path, None
    for name in ("TARSUS_HOME", "TARSUS_NEW", "DJANGO_SETTINGS_MODULE"):
        monkeypatch.setenv(name, os.environ.get(name, ""))
    return tmp_path


ELSEWHERE = {"move-register"}
"""It opens a second database, which no test of one may: see tests/actions/test_move_register.py."""


def test_a_hostile_command_line_is_answered_or_refused(park: Wendlebrook, folder: Path) -> None:
    Small(park)
    heard: dict[int, int] = {0: 0, 1: 0, 2: 0}

    @settings(max_examples=share("words"), deadline=None)
    @given(st.one_of([words_of(command) for command in COMMANDS if command not in ELSEWHERE]))
    def hold(words: list[str]) -> None:
        with transaction.atomic():
            status, out, err = ran(words)
            transaction.set_rollback(True)
        heard[status] += 1
        assert "Traceback" not in err, words
        if status == 2:
            assert out == "", words
            assert re.search(r"^(tarsus|usage)", err), (words, err)
            assert len(err.splitlines()[-1]) < 1500, words

    hold()
    assert sum(heard.values()) >= share("words")
    # About one line in two hundred means something; how many of them are drawn is chance.
    assert heard[0], "something is answered, too"
