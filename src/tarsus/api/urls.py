"""Where programs ask."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from tarsus.api.interface import api

urlpatterns: list[URLPattern | URLResolver] = [path("", api.urls)]
