"""What a browser calls itself, in the words by which somebody knows it again."""

from __future__ import annotations

from typing import Final

_NAMES: Final = (
    # In this order: most of them also say that they are one of those below.
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung Internet"),
    ("Firefox/", "Firefox"),
    ("FxiOS", "Firefox"),
    ("CriOS", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
)
_MACHINES: Final = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("CrOS", "Chromebook"),
    ("Mac OS X", "Mac"),
    ("Linux", "Linux"),
)


_PHONES: Final = ("iPhone", "iPad", "Android")


def is_a_phone(agent: str) -> bool:
    """Whether a browser says that it runs on a phone or a tablet.

    Args:
        agent: the ``User-Agent`` header of a request (RFC 9110, section 10.1.5).
    """
    return any(sign in agent for sign in _PHONES)


def browser_in_words(agent: str) -> str:
    """The browser and the kind of machine, as *Firefox on Android*; what is not known is not guessed.

    Args:
        agent: the ``User-Agent`` header of a request (RFC 9110, section 10.1.5).
    """
    name = next((name for sign, name in _NAMES if sign in agent), "a browser")
    machine = next((machine for sign, machine in _MACHINES if sign in agent), "")
    return f"{name} on {machine}" if machine else name
