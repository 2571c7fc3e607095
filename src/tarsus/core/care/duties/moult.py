"""Wing and flipper bands through the moult: off before it, known by something else, back on after it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BirdFacts, SpeciesRules

BANDS_OFF: Final = "bands taken off"
KNOWN_OTHERWISE: Final = "transponder or natural mark recorded"
BANDS_BACK: Final = "wing band fitted"
LEAD_DAYS: Final = 21


def moult_season(species: SpeciesRules, today: date) -> tuple[date, date] | None:
    """First and last day of the moult season that is running or next, `None` where the species has none."""
    first_month, last_month = species.moult_from_month, species.moult_to_month
    if first_month is None or last_month is None:
        return None
    for year in (today.year - 1, today.year, today.year + 1):
        end_year = year if last_month >= first_month else year + 1
        after = date(end_year + last_month // 12, last_month % 12 + 1, 1)
        if today < after:
            return date(year, first_month, 1), after - timedelta(days=1)
    raise AssertionError("a season ends within a year")


def moult_duties(bird: BirdFacts, species: SpeciesRules, today: date) -> Iterator[Duty]:
    """What the moult asks for, where this species' bands come off in it.

    Source:
        Wing bands off in the moult: common practice; docs/science/cautions.md.
    """
    if not species.bands_off_in_moult:
        return
    on_wing = [band for band in bird.bands if "wing" in band.site]
    starts = _starts(bird, species, today)
    near = starts is not None and today >= starts - timedelta(days=LEAD_DAYS)
    if bird.moulting or near:
        for band in on_wing:
            by = today if bird.moulting or starts is None else max(starts, today)
            yield _duty(
                bird,
                "wing band off",
                f"band {band.band}",
                f"Take {bird.name}'s band off for the moult: {band.words}.",
                "It is in moult: the wing swells."
                if bird.moulting
                else "The moult is near: the wing swells.",
                by,
                Urgency.NOW if bird.moulting else Urgency.SOON,
                BANDS_OFF,
            )
        if not bird.has_transponder and not bird.marks:
            yield _duty(
                bird,
                "another way to know it",
                "",
                f"Record another way to know {bird.name}: a transponder or a natural mark.",
                "Its bands are off, or come off, for the moult.",
                None,
                Urgency.SOON,
                KNOWN_OTHERWISE,
            )
    elif not on_wing and _grown(bird, species, today):
        yield _duty(
            bird,
            "wing band back on",
            "",
            f"Put {bird.name}'s wing band back on.",
            "It wears none, and no moult is near.",
            None,
            Urgency.SOON,
            BANDS_BACK,
        )


def _starts(bird: BirdFacts, species: SpeciesRules, today: date) -> date | None:
    """When the moult is expected: what a keeper wrote of this bird before the months of its species."""
    if bird.moult_from is not None:
        return bird.moult_from
    season = moult_season(species, today)
    return None if season is None else season[0]


def _grown(bird: BirdFacts, species: SpeciesRules, today: date) -> bool:
    age = bird.age_days(today)
    return age is None or age >= species.leg_grown_at_days


def _duty(
    bird: BirdFacts,
    kind: str,
    subject: str,
    what: str,
    why: str,
    by: date | None,
    urgency: Urgency,
    settled_by: str,
) -> Duty:
    caution = cautions.WING_BAND
    return Duty(kind, bird.bird, bird.exhibit, subject, what, why, by, urgency, caution, True, settled_by)
