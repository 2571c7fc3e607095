"""Where programs ask."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from tarsus.api.interface import api
from tarsus.api.page import page

urlpatterns: list[URLPattern | URLResolver] = [
    path("docs", page, name="interface"),
    path("", api.urls),
]
