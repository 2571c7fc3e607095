"""The document of `tarsus study`: a flock, schemes and a season in; schemes side by side out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from tarsus.core.choosing.assignment import assigned
from tarsus.core.choosing.assignment_slots import Wanted
from tarsus.core.documents.fields import optional, palette_of, parse_birds, parse_reader, reader_of
from tarsus.core.documents.rule import GivenRule, parse_rule
from tarsus.core.documents.values import (
    child,
    parse_chance,
    parse_choice,
    parse_each,
    parse_number,
    parse_object,
    parse_text,
    parse_whole,
)
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import SEXES, Bird
from tarsus.core.marks.free_marks import next_free
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.identification import STRANGERS
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.season import BY_LIST, BY_MODEL, Season, SeasonPlayed, SeasonTask
from tarsus.core.readings.season_summary import Estimate, SchemeSummary, summarised

KEYS: Final = (
    *("palette", "reader", "observer", "rule", "birds", "flock"),
    *("schemes", "season", "seasons", "seed", "strangers"),
)
GIVEN, NEXT_FREE, RANDOM_FREE, ASSIGNED = "given", "next free", "random free", "assigned"
SOURCES: Final = (GIVEN, NEXT_FREE, RANDOM_FREE, ASSIGNED)
NAMINGS: Final = (BY_MODEL, BY_LIST)
SEASONS: Final = 40

_SEASON_KEYS: Final = (
    "rounds", "days_between", "seen", "one_side", "unclear", "bands_lost_per_year", "sure",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scheme:
    """Where marks come from, and whether readings are named by the model or by looking them up in a list."""

    name: str
    marks: str
    naming: str


@dataclass(frozen=True)
class StudyDocument:
    """What is asked: who is marked, by which schemes, read by whom, for how many seasons."""

    palette: Palette
    reader: Misreading
    observer: Misreading
    rule: GivenRule | None
    birds: tuple[Bird, ...]
    schemes: tuple[Scheme, ...]
    season: Season
    seasons: int
    seed: int
    strangers: float


def parse_study(value: Any) -> StudyDocument:
    """Read the document of `tarsus study`.

    Raises:
        MalformedInput: a key, word or value that it does not have.
    """
    document = parse_object(value, "", KEYS, required=("schemes",))
    palette = palette_of(document)
    reader = reader_of(document, palette)
    observer = optional(document, "observer", lambda v, at: parse_reader(v, at, palette), reader)
    birds = _birds(document, palette)
    rule = optional(document, "rule", lambda v, at: parse_rule(v, at, palette), None)
    schemes = parse_each(document["schemes"], "schemes", _scheme)
    _check(schemes, rule, birds)
    return StudyDocument(
        palette,
        Misreading.of(reader, palette),
        Misreading.of(observer, palette),
        rule,
        birds,
        schemes,
        optional(document, "season", parse_season, Season()),
        optional(document, "seasons", lambda v, at: parse_whole(v, at, 1, 100_000), SEASONS),
        optional(document, "seed", parse_whole, 1),
        optional(document, "strangers", parse_chance, STRANGERS),
    )


def parse_season(value: Any, place: str) -> Season:
    """How a season goes; what is left out is as usual.

    Raises:
        MalformedInput: a key or value that a season does not have.
    """
    season = parse_object(value, place, _SEASON_KEYS)
    usual = Season()
    chances = {
        key: optional(season, key, parse_chance, getattr(usual, key), place)
        for key in ("seen", "one_side", "unclear", "bands_lost_per_year", "sure")
    }
    return Season(
        optional(season, "rounds", lambda v, at: parse_whole(v, at, 1, 10_000), usual.rounds, place),
        optional(
            season, "days_between", lambda v, at: parse_number(v, at, 0.0, 365.0), usual.days_between, place
        ),
        **chances,
    )


def _birds(document: dict[str, Any], palette: Palette) -> tuple[Bird, ...]:
    if ("birds" in document) == ("flock" in document):
        raise WrongValue("birds", 'give either birds, or a flock such as {"F": 14, "M": 12}')
    if "birds" in document:
        birds = parse_birds(document["birds"], "birds", palette)
    else:
        flock = parse_object(document["flock"], "flock", SEXES)
        counts = {sex: parse_whole(flock[sex], child("flock", sex), 0, 5000) for sex in flock}
        birds = tuple(
            Bird(f"{sex}{at + 1}", Marks(), sex) for sex, count in counts.items() for at in range(count)
        )
    if not birds:
        raise WrongValue("birds", "names no bird; give at least one")
    return birds


def _scheme(value: Any, place: str) -> Scheme:
    if isinstance(value, str):
        return Scheme(value, parse_choice(value, place, "scheme", SOURCES), BY_MODEL)
    scheme = parse_object(value, place, ("name", "marks", "naming"), required=("marks",))
    marks = parse_choice(scheme["marks"], child(place, "marks"), "scheme", SOURCES)
    naming = optional(
        scheme, "naming", lambda v, at: parse_choice(v, at, "way of naming", NAMINGS), BY_MODEL, place
    )
    usual = marks if naming == BY_MODEL else f"{marks}, looked up in a list"
    return Scheme(optional(scheme, "name", parse_text, usual, place), marks, naming)


def _check(schemes: Sequence[Scheme], rule: GivenRule | None, birds: Sequence[Bird]) -> None:
    if not schemes:
        raise WrongValue("schemes", f"names none; known are {', '.join(SOURCES)}")
    for at, scheme in enumerate(schemes):
        if scheme.name in [other.name for other in schemes[:at]]:
            raise WrongValue(child("schemes", at), f"'{scheme.name}' is there already; give it its own name")
        if scheme.marks == GIVEN and not all(bird.marks.sites for bird in birds):
            bare = next(n for n, bird in enumerate(birds) if not bird.marks.sites)
            raise WrongValue(
                child(child("birds", bare), "marks"), "is bare; a given scheme needs every bird's"
            )
        if scheme.marks != GIVEN and rule is None:
            raise WrongValue("rule", f"is missing; '{scheme.marks}' needs to know where bands go")
    for at, bird in enumerate(birds):
        if rule is not None and bird.sex not in rule.rule.rows():
            rows = ", ".join(rule.rule.rows())
            place = child(child("birds", at), "sex")
            raise WrongValue(
                place, f"the rule has no row '{bird.sex}' (it has {rows}); add one to rule.colours"
            )


def season_tasks(asked: StudyDocument) -> list[list[SeasonTask]]:
    """Lay out the seasons, by scheme; the k-th of each scheme has the same seed.

    Args:
        asked: the study.

    Returns:
        Tasks that any worker can play by itself.

    Raises:
        NotEnoughMarks: the rule has fewer combinations than birds.
    """
    worn = [marks_of(asked, scheme) for scheme in asked.schemes]
    rule = () if asked.rule is None else (asked.rule.rule, asked.palette.names)
    # Seeds are made anew for every scheme: spawning from one moves it on, and schemes must meet the same
    # season.
    return [
        [
            SeasonTask(
                asked.birds,
                marks,
                asked.reader,
                asked.observer,
                asked.season,
                seed,
                scheme.naming,
                asked.strangers,
                *rule,
            )
            for seed in np.random.SeedSequence(asked.seed).spawn(asked.seasons)
        ]
        for scheme, marks in zip(asked.schemes, worn, strict=True)
    ]


def marks_of(asked: StudyDocument, scheme: Scheme) -> tuple[Marks, ...] | None:
    """The marks of one scheme, by bird; None where each season draws its own.

    Source:
        docs/science/study.md.
    """
    if scheme.marks == GIVEN:
        return tuple(bird.marks for bird in asked.birds)
    if asked.rule is None or scheme.marks == RANDOM_FREE:
        return None
    rule, colours = asked.rule.rule, asked.palette.names
    if scheme.marks == NEXT_FREE:
        return next_free(rule, [bird.sex for bird in asked.birds], colours)
    wanted = [Wanted(bird.id, bird.sex, prior=bird.prior, lookalike=bird.lookalike) for bird in asked.birds]
    found = assigned(
        (),
        wanted,
        rule,
        colours,
        asked.reader,
        seed=asked.seed,
        sureness=asked.rule.sureness,
        seconds=asked.rule.seconds,
    )
    return tuple(found.marks[bird.id] for bird in asked.birds)


def study_as_document(asked: StudyDocument, played: Sequence[Sequence[SeasonPlayed]]) -> dict[str, Any]:
    """The schemes side by side."""
    summaries = summarised(played)
    return {
        "schemes": [
            {"name": scheme.name, "marks": scheme.marks, "naming": scheme.naming, **_told(summary)}
            for scheme, summary in zip(asked.schemes, summaries, strict=True)
        ],
        "seasons": asked.seasons,
        "rounds": asked.season.rounds,
        "birds": len(asked.birds),
        "seed": asked.seed,
    }


def _told(summary: SchemeSummary) -> dict[str, Any]:
    rounds = summary.rounds_to_see_all
    return {
        **{name: _estimate(estimate) for name, estimate in summary.shares.items()},
        "rounds_to_see_all": {
            "median": rounds.median,
            "interval": [rounds.low, rounds.high],
            "not_all": rounds.not_all,
        },
        "against_the_first": {name: _estimate(estimate) for name, estimate in summary.against.items()},
    }


def _estimate(estimate: Estimate) -> dict[str, Any]:
    return {"mean": estimate.mean, "interval": [estimate.low, estimate.high]}
