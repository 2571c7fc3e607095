"""The page that a phone opens first: how to trust the park's authority, in plain words."""

from __future__ import annotations

from html import escape
from importlib.resources import files
from string import Template


def welcome_page(name: str, address: str, fingerprint: str) -> str:
    """The page as HTML; `address` is where Tarsus itself answers, `fingerprint` the authority's."""
    page = Template(_text("welcome.html"))
    return page.substitute(name=escape(name), address=escape(address), fingerprint=escape(fingerprint))


def welcome_style() -> str:
    """The page's style sheet."""
    return _text("welcome.css")


def _text(name: str) -> str:
    return (files(__package__) / name).read_text(encoding="utf-8")
