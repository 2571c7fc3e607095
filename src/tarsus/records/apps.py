"""The one app that holds all tables."""

from __future__ import annotations

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """The register."""

    name = "tarsus.records"
    label = "records"
    verbose_name = "Register"
