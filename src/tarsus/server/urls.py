"""Every address Tarsus answers at."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/", include("tarsus.api.urls")),
    path("", include("tarsus.web.urls")),
]
