"""What people wrote down about the stories: nests, samples, cases, moults, words for the day."""

from __future__ import annotations

from tarsus.demo.calendar import Calendar
from tarsus.demo.comings import DIED, DIED_DAYS_AGO
from tarsus.demo.garden import ALDER, HERON_WOOD, HESPER, JORY, NELL, SHINGLE_AVIARY, SOUTH_STRAND, TAMSIN
from tarsus.demo.names import AFRICAN_PAIRS
from tarsus.demo.prepared import (
    FoundBand,
    PreparedAbsence,
    PreparedCase,
    PreparedDeath,
    PreparedForecast,
    PreparedNest,
    PreparedNote,
    PreparedPair,
    PreparedSexTest,
)
from tarsus.demo.stories import (
    BANDED_AS_THE_OTHER_SEX,
    GONE_DAYS_AGO,
    IN_MOULT,
    IN_MOULT_SINCE_DAYS,
    LAME,
    MOULT_BEGINS_IN_DAYS,
    NEST_FAILED,
    NEST_FLEDGING,
    NEST_WITH_CHICKS,
    NEST_WITH_EGGS,
    ONE_OF_THREE,
    SEX_RESULT_AWAITED,
    SEX_RESULT_CAME,
    SOON_IN_MOULT,
)

LABORATORY = "Wend Valley Avian Laboratory"
WARM_MONTHS = range(4, 11)


def wader_pairs(at: Calendar) -> list[PreparedPair]:
    """The pairs that have a nest this season."""
    couples = (NEST_WITH_EGGS, NEST_WITH_CHICKS, NEST_FLEDGING, NEST_FAILED)
    return [PreparedPair(her, his, at.day(600 + 25 * i)) for i, (her, his) in enumerate(couples)]


def nests(at: Calendar) -> list[PreparedNest]:
    """One with four eggs, one with three unbanded chicks, one nearly fledged, one that failed."""

    def nest(
        couple: tuple[str, str],
        name: str,
        place: str,
        *events: tuple[int, str, int | None],
        ended: int | None = None,
    ) -> PreparedNest:
        told = tuple((at.day(days), what, number) for days, what, number in events)
        until = None if ended is None else at.day(ended)
        return PreparedNest(*couple, SHINGLE_AVIARY, place, told[0][0], told, name, until)

    spit, reeds, hide = "north spit", "reed edge", "behind the hide"
    laid = tuple((days, "eggs", found) for days, found in ((17, 1), (15, 2), (14, 3), (13, 4)))
    brood = ((34, "eggs", 2), (31, "eggs", 4), (7, "hatched", 3))
    leaving = ((66, "eggs", 3), (39, "hatched", 3), (2, "fledged", 2), (1, "unbanded chicks", 1))
    return [
        nest(NEST_WITH_EGGS, "nest 3", spit, *laid),
        nest(NEST_WITH_CHICKS, "nest 1", reeds, *brood),
        nest(NEST_FLEDGING, "nest 2", hide, *leaving),
        nest(NEST_FAILED, "nest 4", spit, (48, "eggs", 3), (36, "failed", None), ended=36),
    ]


def sex_tests(at: Calendar) -> list[PreparedSexTest]:
    """One still awaited; one that sexed a young bird; one that contradicts the record."""
    return [
        PreparedSexTest(SEX_RESULT_AWAITED, at.day(12), ALDER, "WB-S-0301", LABORATORY),
        PreparedSexTest(
            SEX_RESULT_CAME, at.day(23), ALDER, "WB-S-0298", LABORATORY, result="M", result_on=at.day(2)
        ),
        PreparedSexTest(
            BANDED_AS_THE_OTHER_SEX,
            at.day(26),
            ALDER,
            "WB-S-0295",
            LABORATORY,
            result="M",
            result_on=at.day(3),
        ),
    ]


def cases(at: Calendar) -> list[PreparedCase]:
    """A lame avocet, one of three with a wing held low, and one that the vet closed."""
    return [
        PreparedCase(
            (LAME,),
            at.at(1, "07:50"),
            TAMSIN,
            ("lame",),
            "right",
            "Puts weight on it, walks short.",
            "Watch it feed, report by noon. Do not catch.",
        ),
        PreparedCase(
            ONE_OF_THREE,
            at.at(2, "07:44"),
            JORY,
            ("wing held low",),
            note="One of three: the right leg was not seen.",
            asked="Read the right leg of any avocet that holds a wing low.",
        ),
        PreparedCase(
            ("Marsh",),
            at.at(71, "06:55"),
            NELL,
            ("fluffed", "not feeding"),
            note="Alone on the feeding lawn.",
            asked="Weigh, and call me when it is in hand.",
            closed_at=at.at(58, "15:10"),
            closed_because="Feeds with the others again; weight back at its usual.",
        ),
    ]


def absences(at: Calendar) -> list[PreparedAbsence]:
    """One in moult, one expected to begin in nine days, and last year's."""
    last_year = [
        PreparedAbsence(her, "moult", at.day(352 - 2 * i), at.day(331 - 2 * i))
        for i, (her, _) in enumerate(AFRICAN_PAIRS)
    ]
    now = "Wing band off. Told by its transponder meanwhile."
    soon = "Expected: it gains, and last year's moult began then. Wing band off before it."
    return [
        PreparedAbsence(IN_MOULT, "moult", at.day(IN_MOULT_SINCE_DAYS), note=now),
        PreparedAbsence(SOON_IN_MOULT, "moult", at.day(-MOULT_BEGINS_IN_DAYS), note=soon),
        *last_year,
    ]


def found_bands(at: Calendar) -> list[FoundBand]:
    """A green ring on the floor; six birds wear one, and nobody is taken for dead."""
    return [FoundBand("colour", "green", SHINGLE_AVIARY, at.at(1, "15:10"), JORY, "Split.", "rail")]


def forecasts(at: Calendar) -> list[PreparedForecast]:
    """A hot day ahead; in the cold months, a frost."""
    if at.today.month in WARM_MONTHS:
        high_c, words = 29.0, "Catching at dawn only, over by seven."
    else:
        high_c, words = 1.0, "Ground frost. No catching until the ice is off the shallows; the vet decides."
    return [PreparedForecast(at.at(1, "17:45"), at.day(-day), high_c, HESPER, words) for day in (0, 1)]


def notes(at: Calendar) -> list[PreparedNote]:
    """The lead keeper's words for today, and a few of other days."""
    return [
        PreparedNote(at.at(1, "17:50"), HESPER, "One avocet short since last evening.", SHINGLE_AVIARY),
        PreparedNote(at.at(GONE_DAYS_AGO - 1, "18:05"), HESPER, "Ibises counted one short.", HERON_WOOD),
        PreparedNote(
            at.at(1, "16:40"), TAMSIN, "High rocks slippery. Two keepers at the feed.", SOUTH_STRAND
        ),
    ]


def deaths(at: Calendar) -> list[PreparedDeath]:
    """Two birds found dead within the year; the vet has answered about one of them."""
    first, second = DIED
    return [
        PreparedDeath(
            first,
            at.at(DIED_DAYS_AGO[0], "07:40"),
            TAMSIN,
            "WB-C-014",
            "Below the rail.",
            "Old bird, heart failure. Nothing catching.",
            at.at(DIED_DAYS_AGO[0] - 8, "11:20"),
        ),
        PreparedDeath(
            second, at.at(DIED_DAYS_AGO[1], "06:25"), JORY, "WB-C-015", "In the burrows, no wound."
        ),
    ]
