"""Finding a bird by any part of what it is known by: name, number, engraving, transponder."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db.models import Q

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import birds_named
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.records.models import Band, Bird, Transponder

MOST: Final = 40
LONGEST: Final = 60
"""Characters that are looked for; nothing that a bird is known by is longer."""


@dataclass(frozen=True, slots=True)
class FoundBird:
    """A bird that goes with what was looked for.

    `known_by`: what of it does beside its name: ``engraving WB 20417``. `exhibit` is empty and `portrait`
    none for a bird that lives nowhere now.
    """

    bird_id: int
    name: str
    species: str
    known_by: tuple[str, ...]
    exhibit: str
    portrait: Portrait | None


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found; `more` says how many birds beyond these go with it too."""

    sought: str
    birds: tuple[FoundBird, ...]
    more: int


def find_birds(sought: str, now: datetime) -> Finding:
    """The birds, living and gone, that are known by something that has this in it.

    Args:
        sought: any part of a name, a number, an engraving (spaces and small letters do not matter) or a
            transponder's number.
        now: the moment of asking.

    Returns:
        Whole matches first, then beginnings, then parts; of those the birds that live here first.
    """
    text = " ".join(sought.split())[:LONGEST]
    if not text:
        return Finding("", (), 0)
    hits = _hits(text)
    known = {bird.pk: bird for bird in Bird.objects.filter(pk__in=hits).select_related("species")}
    portraits = {bird.bird_id: portrait_of(bird) for bird in birds_named(hits, day_of(now, park_zone()))}
    exhibits = exhibit_names()

    def nearness(bird_id: int) -> tuple[int, bool, str]:
        closeness = min(_closeness(text, value) for _, value in hits[bird_id])
        return closeness, bird_id not in portraits, str(known[bird_id]).casefold()

    ordered = sorted(hits, key=nearness)
    birds = tuple(
        FoundBird(
            bird_id=bird_id,
            name=str(known[bird_id]),
            species=known[bird_id].species.name,
            known_by=tuple(dict.fromkeys(f"{kind} {word}" for kind, word in hits[bird_id] if kind != "name")),
            exhibit=exhibits[portraits[bird_id].exhibit_id] if bird_id in portraits else "",
            portrait=portraits.get(bird_id),
        )
        for bird_id in ordered[:MOST]
    )
    return Finding(text, birds, max(len(ordered) - MOST, 0))


def _hits(text: str) -> dict[int, list[tuple[str, str]]]:
    """By bird, what of it goes with the text: what kind of word it is, and the word."""
    found: dict[int, list[tuple[str, str]]] = {}
    named = Bird.objects.filter(Q(house_name__icontains=text) | Q(number__icontains=text))
    for bird_id, name, number in named.values_list("id", "house_name", "number"):
        kinds = (("name", name), ("number", number))
        found[bird_id] = [(kind, word) for kind, word in kinds if text.casefold() in word.casefold()]
    key = _key(text)
    if key:
        bands = Band.objects.filter(engraving_key__contains=key, taken_back_at__isnull=True)
        for bird_id, engraving in bands.values_list("bird_id", "engraving"):
            found.setdefault(bird_id, []).append(("engraving", engraving))
        chips = Transponder.objects.filter(number__icontains=key, taken_back_at__isnull=True)
        for bird_id, number in chips.values_list("bird_id", "number"):
            found.setdefault(bird_id, []).append(("transponder", number))
    return {bird_id: told for bird_id, told in found.items() if told}


def _key(text: str) -> str:
    """As an engraving is compared: capitals without spaces."""
    return "".join(text.split()).upper()


def _closeness(text: str, word: str) -> int:
    sought, whole = _key(text), _key(word)
    return 0 if whole == sought else 1 if whole.startswith(sought) else 2
