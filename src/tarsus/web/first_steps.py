"""Whether a page leads back to the first hour of a new park."""

from __future__ import annotations

from django.http import HttpRequest

from tarsus.queries.new_park import new_park
from tarsus.web.access import may_do


def begins(request: HttpRequest) -> bool:
    """Whether no roll was ever called here, and whoever is signed in can lead the park to its first."""
    return may_do(request.user, "park_set") and not new_park().called
