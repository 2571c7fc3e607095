"""Every address of the pages, filled in with something for each thing that an address names."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from django.urls import URLPattern, URLResolver, get_resolver

SAMPLE = {
    "int": "1",
    "str": "avocet",
    "uuid": "5f2c7a7e-5a8e-4a3c-9d55-0f6a1d1d4e11",
    "slug": "a",
    "path": "a",
}


def _patterns(of: URLResolver, before: str = "") -> Iterator[tuple[str, URLPattern]]:
    for pattern in of.url_patterns:
        route = before + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            # The programs' addresses carry tokens and have their own walk in tests/api.
            if not route.startswith("api"):
                yield from _patterns(pattern, route)
        else:
            yield route, pattern


def addresses(named: Mapping[str, object] | None = None) -> list[tuple[str, URLPattern]]:
    """Every address with its pattern; `named` fills in what the addresses call so."""
    known = named or {}
    return [
        (
            "/" + re.sub(r"<(?:(\w+):)?(\w+)>", lambda m: str(known.get(m[2], SAMPLE[m[1] or "str"])), route),
            pattern,
        )
        for route, pattern in _patterns(get_resolver())
    ]
