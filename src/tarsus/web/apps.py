"""The pages for people: templates and static files, no tables."""

from __future__ import annotations

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Pages."""

    name = "tarsus.web"
    label = "web"
    verbose_name = "Pages"
