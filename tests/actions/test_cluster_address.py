"""A password of the database goes to its programs by a file of this account, never on a command line."""

from __future__ import annotations

import stat
from pathlib import Path

from tarsus.actions.safekeeping.cluster import _address

PARK = {"HOST": "db.park.example", "PORT": "5433", "USER": "o'hara", "PASSWORD": "north:spit\\1"}


def test_a_password_is_kept_off_the_command_line() -> None:
    with _address(PARK, "tarsus") as address:
        assert "spit" not in address
        assert address.startswith(
            "dbname='tarsus' host='db.park.example' port='5433' user='o\\'hara' passfile='"
        )
        file = Path(address.rpartition("passfile='")[2].removesuffix("'"))
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert file.read_text(encoding="utf-8") == "*:*:*:*:north\\:spit\\\\1\n"
    assert not file.exists()


def test_a_server_that_asks_for_no_password_gets_none() -> None:
    with _address({"HOST": "", "PORT": "", "USER": "tarsus", "PASSWORD": ""}, "tarsus") as address:
        assert address == "dbname='tarsus' user='tarsus'"
