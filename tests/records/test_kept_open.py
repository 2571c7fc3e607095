"""The register stays open between pages: opening it anew costs more than a light page does."""

from __future__ import annotations

import pytest
from django.core.signals import request_finished, request_started
from django.db import connection


@pytest.mark.django_db(transaction=True)
def test_the_next_page_finds_the_register_open(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.db.backends.base.base.time.monotonic", lambda: 7.0)
    connection.close()
    connection.ensure_connection()
    opened = connection.connection
    request_finished.send(sender=None)
    request_started.send(sender=None)
    assert connection.connection is opened
