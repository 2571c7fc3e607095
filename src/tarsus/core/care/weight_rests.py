"""What the judgement of a weight rests on, in sentences."""

from __future__ import annotations

from tarsus.core.care.weight_told import WeightTold
from tarsus.core.words.days import day_words
from tarsus.core.words.numbers import counted, tenths, whole


def rests_on(told: WeightTold) -> str:
    """The weighing that is judged, and where the bird's usual weight comes from."""
    weight, usual = told.weight, told.reference
    fed = {True: ", fed", False: ", not fed", None: ""}[weight.fed]
    moult = ", in moult" if weight.moulting else ""
    taken = f"{tenths(weight.grams)} g on {day_words(weight.at.date())}, {weight.at:%H:%M}, {weight.scale}"
    if usual is None:
        return f"{taken}{fed}{moult}."
    years = "year" if usual.years == 1 else f"{usual.years} years"
    return (
        f"{taken}{fed}{moult}. Its usual: the median of {usual.weights} {counted('weight', usual.weights)} "
        f"of the last {years} outside the moult, {usual.alike_in}; they spread by {whole(usual.spread_g)} g."
    )


def asked_again(prompt_percent: float, alarm_percent: float) -> str:
    """From where on the vet wants to be asked, and what such a prompt is."""
    return (
        f"Asked again at −{tenths(prompt_percent)} % and −{tenths(alarm_percent)} %, as the vet has set for "
        "the species. A prompt, no diagnosis: the vet judges."
    )


def weights_shown(number: int) -> str:
    """How many weights a plot has, and how those of the moult are drawn."""
    return f"{number} {counted('weight', number)}. Hollow dots were taken in the moult."
