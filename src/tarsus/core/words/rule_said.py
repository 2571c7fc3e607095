"""How a species is marked, a sentence a sex."""

from __future__ import annotations

from collections.abc import Mapping

from tarsus.core.words.numbers import counted

SEXES = {"F": "females", "M": "males"}


def rule_said(sex: str, metal: str | None, colours: Mapping[str, int]) -> str:
    """What birds of one sex wear: *females: metal on the left tibia, 2 colours on the right tibia*.

    Args:
        sex: F, M, or anything else for birds whose sex is not known.
        metal: the site of the metal band; none where they wear none.
        colours: how many colours go on each site.
    """
    told = [f"metal on the {metal}" if metal else "no metal"]
    told += [f"{number} {counted('colour', number)} on the {site}" for site, number in colours.items()]
    return f"{SEXES.get(sex, 'unsexed')}: {', '.join(told)}"
