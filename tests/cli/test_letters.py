"""`tarsus letters` from a shell, and what an installation is told of its mail server."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import tarsus, with_person

from tarsus.core.errors import UnknownWord
from tarsus.server.environment import told


def test_without_a_mail_server_it_says_what_to_set_and_a_look_says_who_asked(tmp_path: Path) -> None:
    home = with_person(tmp_path / "home")
    done = tarsus(home, "letters")
    assert done.returncode == 2
    assert "TARSUS_MAIL_HOST" in done.stderr
    looked = tarsus(home, "letters", "--look")
    assert looked.returncode == 0, looked.stderr
    assert "Nobody asked for letters" in looked.stdout


def test_the_way_to_the_mail_server_is_one_of_three_words(tmp_path: Path) -> None:
    words = ("starttls", "tls", "none")
    assert told({}, tmp_path).one_of("TARSUS_MAIL_SECURITY", *words) == "starttls", (
        "never in the open unasked"
    )
    assert told({"TARSUS_MAIL_SECURITY": "tls"}, tmp_path).one_of("TARSUS_MAIL_SECURITY", *words) == "tls"
    with pytest.raises(UnknownWord, match="did you mean 'tls'"):
        told({"TARSUS_MAIL_SECURITY": "tlss"}, tmp_path).one_of("TARSUS_MAIL_SECURITY", *words)
