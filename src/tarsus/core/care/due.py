"""Everything that is due for one bird, from every family."""

from __future__ import annotations

from datetime import date

from tarsus.core.care.duties.bands import band_duties
from tarsus.core.care.duties.checks import check_duties
from tarsus.core.care.duties.chicks import chick_duties
from tarsus.core.care.duties.marking import marking_duties
from tarsus.core.care.duties.missing import missing_duties
from tarsus.core.care.duties.moult import moult_duties
from tarsus.core.care.duties.sexing import sexing_duties
from tarsus.core.care.duties.standing import case_duties, natural_mark_duties, newcomer_duties, recheck_duties
from tarsus.core.care.duty import Duty, in_order
from tarsus.core.care.facts import BirdFacts, ParkRules, SpeciesRules


def duties_of(bird: BirdFacts, species: SpeciesRules, park: ParkRules, today: date) -> list[Duty]:
    """Derive what is due for a bird, the most urgent first.

    Args:
        bird: what the records say of it.
        species: how its species is looked after here.
        park: the park's own choices.
        today: the day of asking.

    Returns:
        Duties; recording what one asks for makes it go away, and nothing else does.
    """
    return in_order(
        [
            *missing_duties(bird, today),
            *case_duties(bird, today),
            *recheck_duties(bird, today),
            *band_duties(bird, park, today),
            *chick_duties(bird, species, today),
            *check_duties(bird, species, today),
            *newcomer_duties(bird),
            *sexing_duties(bird, species, park, today),
            *marking_duties(bird, species, park),
            *moult_duties(bird, species, today),
            *natural_mark_duties(bird, today),
        ]
    )
