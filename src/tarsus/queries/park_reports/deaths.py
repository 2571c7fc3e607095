"""The report of deaths: found when and by whom, how old, and what the post-mortem said."""

from __future__ import annotations

from datetime import date
from typing import Final

from django.db.models import Prefetch, Q

from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.core.words.age import age_in_words
from tarsus.queries.park_reports.asked import Asked, day_at_park
from tarsus.records.models import Bird, CarcaseNamed, Death, PostMortem
from tarsus.records.standing import standing

_COLUMNS: Final = (
    Column("found", Kind.DAY),
    Column("bird", wide=1),
    Column("species", wide=1),
    Column("exhibit", wide=1),
    Column("age"),
    Column("found by"),
    Column("carcase"),
    Column("circumstances", wide=2),
    Column("post-mortem", wide=2),
)
_BY_SPECIES: Final = (Column("species", wide=1), Column("deaths", Kind.NUMBER, summed=True))
NOTE: Final = (
    "A carcase without bands has no name until somebody knows whose it was. What it died of is the "
    "vet's to say. Dead unbanded chicks are told at their nests and stand in the inventory."
)


def deaths(asked: Asked) -> Report:
    """The deaths of a span of days, the earliest first, in a constant number of queries."""
    told = standing(Death.objects.filter(happened_at__gte=asked.begins, happened_at__lt=asked.ends))
    if asked.exhibit_id is not None:
        told = told.filter(Q(exhibit_id=asked.exhibit_id))
    found = list(
        told.select_related("bird", "species", "exhibit")
        .prefetch_related(
            Prefetch("named", standing(CarcaseNamed.objects.select_related("bird").order_by("happened_at"))),
            Prefetch("post_mortems", standing(PostMortem.objects.order_by("happened_at", "pk"))),
        )
        .order_by("happened_at", "pk")
    )
    by_species: dict[str, int] = {}
    for death in found:
        by_species[death.species.name] = by_species.get(death.species.name, 0) + 1
    sums = tuple(Row((name,), (name, number)) for name, number in sorted(by_species.items()))
    parts = (
        Part("Deaths", _COLUMNS, tuple(_row(death) for death in found), "No death was told."),
        Part("By species", _BY_SPECIES, sums, "No death was told."),
    )
    return Report("deaths", "Deaths", asked.words, parts, (NOTE,))


def _row(death: Death) -> Row:
    named = list(death.named.all())
    bird = death.bird or (named[-1].bird if named else None)
    on = day_at_park(death.happened_at)
    answers = "; ".join(
        f"{one.answer}{f' ({one.by_whom})' if one.by_whom else ''}" for one in death.post_mortems.all()
    )
    asked_for = "asked for, not answered" if death.post_mortem_asked else "not asked for"
    how = "put to sleep by the vet" if death.euthanised else ""
    cells = (
        on,
        str(bird) if bird else "not known which",
        death.species.name,
        death.exhibit.name,
        age_words(bird, on),
        death.found_by,
        death.carcase_label,
        "; ".join(filter(None, (how, death.circumstances))),
        answers or asked_for,
    )
    return Row((str(death.pk),), cells, bird.pk if bird else None)


def age_words(bird: Bird | None, on: date) -> str:
    """How old a bird was on a day, as closely as its hatch date is known; empty where it is not."""
    return "" if bird is None else age_in_words(bird.hatched_on, bird.hatched_precision, on)
