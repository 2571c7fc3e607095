"""Every address Tarsus answers at."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/v1/", include("tarsus.api.urls")),
    path("", include("tarsus.web.urls")),
]
