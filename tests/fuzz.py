"""What is thrown at Tarsus on purpose: how much an area gets, what it is made of, how long it may take."""

from __future__ import annotations

import contextlib
import io
import os
import signal
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Final

from hypothesis import strategies as st

from tarsus.cli.main import main

SHARES: Final = {
    "documents": 2700,
    "words": 2300,
    "facts": 9000,
    "programs": 2000,
    "forms": 500,
    "cells": 6500,
}
"""Inputs an area gets in one run of the suite: documents, command lines, facts, facts again, forms, cells.

All but the documents ask the register, and are thrown at both databases.
"""
TIMES: Final = float(os.environ.get("TARSUS_FUZZ", "1"))
"""So many times as much, for whoever wants to look harder."""
PATIENCE_S: Final = 5
"""Of the processor's time, so that a busy machine is no slower."""

WORDS: Final = st.sampled_from(
    [
        "",
        " ",
        "\ud800",
        "a\x00b",
        "[bold]X",
        "<script>alert(1)</script>",
        "{{ 7*7 }}",
        "'; DROP TABLE records_bird; --",
        "=1+1",
        ":bird:",
        "é" * 400,
        "null",
        "metal",
        "*",
        "?",
        "0001-01-01",
        "2026-02-30",
        "9999-12-31T23:59:59-14:00",
        "9" * 400,
        "\u202egnirts",
    ]
) | st.text(max_size=12)
NUMBERS: Final = st.sampled_from(
    [0, -1, 1, 10**400, -(10**400), 2**63, 1e308, -1e308, 5e-324, float("nan"), float("inf"), 0.5, True]
)
SMALL: Final = st.one_of(st.none(), st.booleans(), NUMBERS, WORDS)
VALUES: Final = st.recursive(
    SMALL,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=6,
)


def share(area: str) -> int:
    """How many inputs an area gets in this run."""
    return round(SHARES[area] * TIMES)


@contextmanager
def patience(what: Any) -> Iterator[None]:
    """Fail where something takes longer than a person waits without being told why."""

    def out_of_patience(*_: Any) -> None:
        raise TimeoutError(f"{what} took more than {PATIENCE_S} s")

    before = signal.signal(signal.SIGPROF, out_of_patience)
    signal.setitimer(signal.ITIMER_PROF, PATIENCE_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def ran(words: Sequence[str]) -> tuple[int, str, str]:
    """Exit status of a command run in this process, what it printed, and what it refused."""
    out = io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True)
    err = io.TextIOWrapper(io.BytesIO(), "utf-8", "backslashreplace", write_through=True)
    with patience(words), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(list(words))
        except SystemExit as ended:
            status = int(ended.code or 0)
    said = [stream.buffer.getvalue().decode() for stream in (out, err)]  # type: ignore[attr-defined]  # of bytes
    return status, said[0], said[1]
