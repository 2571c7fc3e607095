"""Errands are done beside what asks for them, once each, and trouble in one is nobody else's."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from django.db import transaction

from tarsus.actions.errands import Errands

WAITS_S = 60


def test_without_a_server_an_errand_is_done_at_once(caplog: pytest.LogCaptureFixture) -> None:
    done = []
    errands = Errands()
    errands.ask(lambda: done.append("one"))
    assert done == ["one"]

    def goes_wrong() -> None:
        raise OSError("the disk is full")

    errands.ask(goes_wrong)
    assert "goes_wrong" in caplog.text
    assert "the disk is full" in caplog.text


@pytest.mark.django_db(transaction=True)
def test_an_errand_asked_for_in_a_transaction_is_done_when_its_rows_can_be_read() -> None:
    done, over = [], threading.Event()
    errands = Errands()
    errands.begin()
    with transaction.atomic():
        errands.ask(lambda: done.append("late"))
        with transaction.atomic():
            errands.ask(over.set)
        assert not over.is_set()
        done.append("written")
    assert over.wait(WAITS_S)
    assert done == ["written", "late"]


@pytest.mark.django_db(transaction=True)
def test_a_server_does_not_wait_for_its_errands_and_does_what_waits_once(
    caplog: pytest.LogCaptureFixture,
) -> None:
    done, begun, may_go_on, over = [], threading.Event(), threading.Event(), threading.Event()

    def long() -> None:
        begun.set()
        assert may_go_on.wait(WAITS_S)
        done.append("long")
        raise OSError("the disk is full")

    def short() -> None:
        done.append("short")

    errands = Errands()
    errands.begin([long])
    assert begun.wait(WAITS_S), "it is done though nobody asked: it was left over"
    for errand in (short, short, over.set):
        errands.ask(errand)
    assert done == [], "whoever asked goes on while it is done"
    may_go_on.set()
    assert over.wait(WAITS_S)
    assert done == ["long", "short"]
    assert "the disk is full" in caplog.text


def test_the_web_server_has_a_thread_for_errands(tmp_path: Path) -> None:
    look = "import tarsus.server.wsgi; from tarsus.actions.errands import ERRANDS; print(ERRANDS.beside)"
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TARSUS_")}
    done = subprocess.run(
        [sys.executable, "-c", look],
        env=clean | {"TARSUS_HOME": str(tmp_path), "TARSUS_NEW": "1"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.stdout == "True\n", done.stderr
