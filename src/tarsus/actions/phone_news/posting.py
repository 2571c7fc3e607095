"""Handing a sealed message to the push service of a phone's browser (RFC 8030)."""

from __future__ import annotations

import http.client
import ssl
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import SplitResult, urlsplit

PATIENCE_S: Final = 20
KEPT_FOR_S: Final = 12 * 3600
"""For so long a push service keeps it for a phone that is off: tomorrow's news say it anew."""
TOPIC: Final = "tarsus-today"
GONE: Final = frozenset({404, 410})
"""What a push service answers that knows the phone no more (RFC 8030, section 7.3)."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a push service said; `status` is 0 where it was not reached."""

    status: int
    why: str = ""

    @property
    def took_it(self) -> bool:
        """Whether it will bring the message."""
        return 200 <= self.status < 300

    @property
    def gone(self) -> bool:
        """Whether it knows the phone no more."""
        return self.status in GONE


def origin_of(endpoint: str) -> str:
    """Scheme, name and port of an address; empty where it is none."""
    try:
        parts = urlsplit(endpoint)
        port = parts.port
    except ValueError:
        return ""
    if parts.scheme not in ("https", "http") or not parts.hostname or parts.username or parts.fragment:
        return ""
    return f"{parts.scheme}://{_host(parts)}" + (f":{port}" if port else "")


def is_named(endpoint: str, services: Sequence[str]) -> bool:
    """Whether an address is of a push service that this installation was told.

    A name stands for it and all below it, over TLS and on its own port; a whole address for itself only. An
    address comes from a browser, and a server that posts wherever it is told reaches what no stranger may.
    """
    origin = origin_of(endpoint)
    if not origin:
        return False
    name = origin.removeprefix("https://")
    return any(
        origin == service.rstrip("/") or name == service or name.endswith(f".{service}")
        for service in services
    )


def post(endpoint: str, body: bytes, authorization: str) -> Answer:
    """Hand a sealed message over; it follows no redirection."""
    parts = urlsplit(endpoint)
    headers = {
        "Authorization": authorization,
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(KEPT_FOR_S),
        "Topic": TOPIC,
        "Urgency": "normal",
    }
    way = _way(parts)
    try:
        way.request("POST", f"{parts.path or '/'}{f'?{parts.query}' if parts.query else ''}", body, headers)
        answer = way.getresponse()
        return Answer(answer.status, f"{answer.status} {answer.reason}")
    except (OSError, http.client.HTTPException, ValueError) as reason:
        return Answer(0, " ".join(str(reason).split()) or type(reason).__name__)
    finally:
        way.close()


def _way(parts: SplitResult) -> http.client.HTTPConnection:
    assert parts.hostname
    if parts.scheme == "https":
        certificates = ssl.create_default_context()
        return http.client.HTTPSConnection(
            parts.hostname, parts.port, timeout=PATIENCE_S, context=certificates
        )
    return http.client.HTTPConnection(parts.hostname, parts.port, timeout=PATIENCE_S)


def _host(parts: SplitResult) -> str:
    name = parts.hostname or ""
    return f"[{name}]" if ":" in name else name
