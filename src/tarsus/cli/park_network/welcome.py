"""The page that a phone opens first: how to trust the park's authority, in plain words."""

from __future__ import annotations

from html import escape
from importlib.resources import files
from string import Template


def welcome_page(name: str, address: str, by_number: str, fingerprint: str) -> str:
    """The page as HTML.

    Args:
        name: the host name that phones use.
        address: where Tarsus itself answers, by name.
        by_number: the same by the machine's number, for networks that know no name.
        fingerprint: the authority's SHA-256, as phones show it.
    """
    words = {"name": name, "address": address, "by_number": by_number, "fingerprint": fingerprint}
    return Template(_text("welcome.html")).substitute({key: escape(word) for key, word in words.items()})


def welcome_style() -> str:
    """The page's style sheet."""
    return _text("welcome.css")


def _text(name: str) -> str:
    return (files(__package__) / name).read_text(encoding="utf-8")
