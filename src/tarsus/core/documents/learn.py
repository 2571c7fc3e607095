"""The document of `tarsus learn`: confirmed readings in, the reader after them out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from tarsus.core.documents.fields import optional, palette_of, parse_marks, parse_reading, reader_of
from tarsus.core.documents.readers import explicit_reader
from tarsus.core.documents.values import child, parse_each, parse_object
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.earning import Evidence, evidence
from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.fitting import Fitter
from tarsus.core.readings.learning import Learned, interval, learn
from tarsus.core.readings.misreading import Misreading

KEYS: Final = ("palette", "reader", "checks")
CHECK_KEYS: Final = ("read", "worn", "record")
CHANCES: Final = ("swap", "flip", "colour", "overlook", "lost")


@dataclass(frozen=True)
class LearnDocument:
    """What is asked: the observer as it was thought to be, over which colours, and the checks."""

    before: Misreading
    palette: Palette
    checks: tuple[Check, ...]


@dataclass(frozen=True)
class LearnAnswer:
    """What the checks taught, and whether it has earned its use."""

    before: Misreading
    learned: Learned
    after: Misreading
    evidence: Evidence


def parse_learn(value: Any) -> LearnDocument:
    """Read the document of `tarsus learn`.

    Raises:
        MalformedInput: a key, word or value that it does not have.
    """
    document = parse_object(value, "", KEYS, required=("checks",))
    palette = palette_of(document)
    before = Misreading.of(reader_of(document, palette), palette)
    checks = parse_each(document["checks"], "checks", lambda entry, at: parse_check(entry, at, palette))
    return LearnDocument(before, palette, checks)


def parse_check(value: Any, place: str, palette: Palette) -> Check:
    """One confirmed reading; `record` is what the bird was thought to wear until then.

    Raises:
        MalformedInput: a key, word or value that it does not have.
    """
    check = parse_object(value, place, CHECK_KEYS, required=("read", "worn"))
    return Check(
        parse_reading(check["read"], child(place, "read"), palette),
        parse_marks(check["worn"], child(place, "worn"), palette),
        optional(check, "record", lambda entry, at: parse_marks(entry, at, palette), None, place),
    )


def answer_learn(asked: LearnDocument, rng: np.random.Generator) -> LearnAnswer:
    """Learn from the checks, and measure whether it has earned its use.

    Source:
        docs/science/learning.md.
    """
    learned = learn(asked.checks, asked.before, rng, palette=asked.palette)
    told = evidence(asked.checks, Fitter(asked.before, asked.palette))
    after = told.in_use(asked.before, learned.misreading()) if learned.used else asked.before
    return LearnAnswer(asked.before, learned, after, told)


def intervals(learned: Learned) -> dict[str, tuple[float, float]]:
    """The 95 % interval of each error chance, by the reader's own keys."""
    chains = {**learned.chances, "colour": learned.colour()}
    return {name: interval(chains[name]) for name in CHANCES}


def learn_as_document(answer: LearnAnswer) -> dict[str, Any]:
    """The answer in the form that ``reader`` takes, with what is known about it under further keys."""
    reader = explicit_reader(answer.after)
    words = answer.learned.words
    low, high = answer.learned.cell_intervals()
    cells = {
        worn: {read: _cell(low, high, words.index(worn), words.index(read)) for read in row}
        for worn, row in reader["confusion"].items()
    }
    told = answer.evidence
    return {
        **reader,
        "intervals": {
            **{name: list(bounds) for name, bounds in intervals(answer.learned).items()},
            "confusion": cells,
        },
        "checks": answer.learned.used,
        "set_aside": list(answer.learned.set_aside),
        "gain": {"a_check": told.mean, "error": told.error} if told.checks else None,
        "evidence": told.nats if told.checks else None,
        "earned": told.earned,
    }


def _cell(low: Any, high: Any, worn: int, read: int) -> list[float]:
    return [float(low[worn, read]), float(high[worn, read])]
