"""Everything Tarsus can refuse, one tree.

TarsusError
├── MalformedInput            the caller must change something
│   ├── UnknownWord           a name that nothing here is called by
│   ├── UnknownKey            a key the document does not have
│   ├── WrongValue            a value of the wrong kind or out of range
│   └── TooMany               more wished for than there is
└── NoAnswer                  sound input, no answer
    ├── ImpossibleReading     no bird with prior weight could have given it
    └── NotEnoughMarks        the marks, or the bands in stock, do not reach

Other modules add their own leaves below the two branches. An error carries its values as attributes and
builds its own message: one sentence that names the place and the remedy.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from typing import Final

_BREAKS: Final = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_LONGEST_WORD: Final = 60


def one_line(text: str) -> str:
    """A text that may repeat what somebody wrote, with what would break its line written as ``\\n``."""
    return _BREAKS.sub(lambda found: found[0].encode("unicode_escape").decode(), text)


def cut(word: str) -> str:
    """A word of the caller's own, short enough to stand in a sentence."""
    return word if len(word) <= _LONGEST_WORD else f"{word[: _LONGEST_WORD - 3]}..."


class TarsusError(Exception):
    """Something Tarsus refuses, told in one sentence."""


class MalformedInput(TarsusError):
    """The caller must change something; `place` says where."""

    def __init__(self, place: str, message: str) -> None:
        self.place = place
        self.message = message
        super().__init__(one_line(f"{place}: {message}" if place else message))


class UnknownWord(MalformedInput):
    """A name that nothing here is called by; the nearest known one is offered."""

    def __init__(self, place: str, word: str, kind: str, known: Iterable[str]) -> None:
        self.word = word
        self.kind = kind
        self.known = tuple(known)
        near = difflib.get_close_matches(word, self.known, n=1)
        if near:
            remedy = f"; did you mean '{cut(near[0])}'?"
        elif len(self.known) <= 12:
            remedy = f"; known are {', '.join(cut(one) for one in self.known)}"
        else:
            remedy = ""
        super().__init__(place, f"'{cut(word)}' is no {kind}{remedy}")


class UnknownKey(UnknownWord):
    """A key the document does not have."""

    def __init__(self, place: str, word: str, known: Iterable[str]) -> None:
        super().__init__(place, word, "key of this document", known)


class WrongValue(MalformedInput):
    """A value of the wrong kind or out of its range."""


class TooMany(MalformedInput):
    """More wished for than there is; the message says how many can be had."""


class NoAnswer(TarsusError):
    """The input is sound, and there is no answer to it."""


class ImpossibleReading(NoAnswer):
    """No bird with prior weight could have given this reading."""


class NotEnoughMarks(NoAnswer):
    """The marks that the rule allows, or the bands in stock, do not reach."""

    def __init__(self, message: str, *, available: int) -> None:
        self.available = available
        super().__init__(message)
