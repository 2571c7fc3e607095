"""Which register a command uses, who said so, and that none is made unasked."""

from __future__ import annotations

import json
import stat
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import tarsus, with_person

from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.server.environment import told


def test_a_variable_goes_before_a_line_and_a_line_before_nothing(tmp_path: Path) -> None:
    (tmp_path / "tarsus.toml").write_text('home = "birds"\nhosts = ["a.example", "b.example"]\ntls = true\n')
    heard = told({"TARSUS_HOSTS": "c.example"}, tmp_path)
    assert heard.path("TARSUS_HOME", Path("var")) == tmp_path / "birds", "beside the file, not the shell"
    assert heard.words("TARSUS_HOSTS") == ["c.example"]
    assert heard.flag("TARSUS_TLS")
    assert not heard.flag("TARSUS_DEBUG")
    sources = {name: said.source for name, said in heard.said.items() if said.source}
    file = str(tmp_path / "tarsus.toml")
    assert sources == {"TARSUS_HOSTS": "environment", "TARSUS_HOME": file, "TARSUS_TLS": file}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('hme = "x"', "'hme' is no setting; did you mean 'home'?"),
        ("home = [1]", "home: is neither a text, a switch nor a list of texts"),
        ("home = ", "is no settings file"),
        ("new = true", "'new' is no setting"),
    ],
)
def test_a_settings_file_with_a_mistake_is_refused_by_its_line(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "tarsus.toml").write_text(text)
    with pytest.raises((UnknownWord, WrongValue)) as refusal:
        told({}, tmp_path)
    assert said in str(refusal.value)


def test_a_switch_is_one_or_nought() -> None:
    with pytest.raises(WrongValue, match="'yes' is neither 1"):
        told({"TARSUS_TLS": "yes"}, Path("/nonexistent")).flag("TARSUS_TLS")


def test_the_settings_say_what_holds_and_who_said_it(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text('hosts = "tarsus.park.example"\nsecret_key = "' + "s" * 50 + '"\n')
    done = tarsus(tmp_path, "settings", "--json", TARSUS_SETTINGS="own.toml")
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["register"] == str(tmp_path / "register.sqlite3")
    rows = {row["setting"]: row for row in answer["settings"]}
    assert rows["TARSUS_HOME"]["from"] == "environment"
    assert rows["TARSUS_HOSTS"] == {
        "setting": "TARSUS_HOSTS",
        "value": "tarsus.park.example",
        "from": str(tmp_path / "own.toml"),
        "without": "127.0.0.1,localhost,[::1]",
    }
    assert "sss" not in done.stdout, "a secret is not shown"
    assert rows["TARSUS_TLS"]["from"] is None
    assert sorted(path.name for path in tmp_path.iterdir()) == ["own.toml"], "looking makes nothing"


def test_a_home_named_to_the_command_is_said_to_be_so(tmp_path: Path) -> None:
    done = tarsus(tmp_path, "settings", "--json", "--home", "birds", TARSUS_HOSTS="a.example")
    answer = json.loads(done.stdout)
    sources = {row["setting"]: row["from"] for row in answer["settings"] if row["from"]}
    assert answer["register"] == str(tmp_path / "birds" / "register.sqlite3")
    assert sources == {"TARSUS_HOME": "--home", "TARSUS_HOSTS": "environment"}


def test_a_command_says_which_register_it_used(tmp_path: Path) -> None:
    home = with_person(tmp_path / "park")
    done = tarsus(tmp_path, "export", "-", "--home", str(home))
    assert done.returncode == 0
    assert f"register: {home / 'register.sqlite3'} (--home)" in done.stderr


def test_what_is_kept_is_private_from_its_birth(tmp_path: Path) -> None:
    home = with_person(tmp_path / "park", from_nothing=True)
    assert tarsus(home, "backup", str(home / "copy.sqlite3")).returncode == 0
    assert tarsus(home, "export", str(home / "all.json")).returncode == 0
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in home.iterdir() if path.is_file()}
    assert set(modes) >= {"register.sqlite3", "secret-key", "copy.sqlite3", "all.json"}
    assert set(modes.values()) == {0o600}, modes


def test_a_signing_key_that_is_guessed_is_told_of_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "tarsus.toml").write_text('secret_key = "secret"\n')
    done = tarsus(tmp_path, "export", "-")
    assert (done.returncode, done.stdout) == (2, "")
    assert "TARSUS_SECRET_KEY: has 6 characters" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_an_empty_signing_key_is_told_of_in_a_sentence(tmp_path: Path) -> None:
    home = with_person(tmp_path / "park")
    (home / "secret-key").write_text("")
    done = tarsus(home, "export", "-")
    assert (done.returncode, done.stdout) == (2, "")
    assert "holds no whole key" in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize("word", ["flush", "testserver", "startapp", "dbshell", "loaddata"])
def test_what_could_empty_or_bypass_a_register_is_no_command(tmp_path: Path, word: str) -> None:
    done = tarsus(tmp_path, "manage", word)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"'{word}' is no upkeep command" in done.stderr


def test_backups_go_where_the_settings_say_and_a_count_that_is_none_is_refused(tmp_path: Path) -> None:
    heard = told({"TARSUS_BACKUPS_KEEP": "many"}, tmp_path)
    with pytest.raises(WrongValue, match="no whole number above zero"):
        heard.whole("TARSUS_BACKUPS_KEEP", 30)
    assert told({}, tmp_path).whole("TARSUS_BACKUPS_KEEP", 30) == 30
