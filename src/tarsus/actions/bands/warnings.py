"""What is said, and not refused, when a bird wears what the rules of the park would not have given it.

Rules bind what Tarsus proposes. A bird that arrives with two metals on a leg is written down with both.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tarsus.core.marks.marks import METAL
from tarsus.queries.marks import WornBand
from tarsus.records.models import Bird, Park

_SOFT = ("colour", "cable tie", "wing", "flipper")


def warnings_of(bird: Bird, worn: Sequence[WornBand], sex: str) -> tuple[str, ...]:
    """Sentences about what a bird wears, for the person who just wrote it down.

    Args:
        bird: whose bands.
        worn: all that it wears now.
        sex: ``F``, ``M`` or ``U``.

    Returns:
        One sentence a matter, none where nothing is to be said.
    """
    species, park = bird.species, Park.objects.first()
    excluded = set(species.excluded_colours.values_list("name", flat=True))
    metals = Counter(band.site for band in worn if band.word == METAL)
    said = [f"two metal bands on the {site}: they can clash and hurt" for site, n in metals.items() if n > 1]
    for site in sorted({band.site for band in worn}):
        if species.sites and site not in species.sites:
            said.append(f"{species.name} is not banded on the {site} here")
    said += _of_colours(species.name, worn, excluded)
    if species.chews and any(band.kind in _SOFT for band in worn):
        said.append(f"{species.name} chews: plastic bands and butt-end bands do not last and can hurt")
    if park is not None:
        said += _too_many(worn, park.bands_per_leg)
        said += _wrong_side(metals, sex, {"F": park.female_side, "M": park.male_side})
    return tuple(said)


def _of_colours(species: str, worn: Sequence[WornBand], excluded: set[str]) -> list[str]:
    colours = sorted({band.word for band in worn if band.word in excluded})
    return [f"{colour} is not used on {species} here" for colour in colours]


def _too_many(worn: Sequence[WornBand], most: int) -> list[str]:
    legs = Counter(band.site.split()[0] for band in worn if not band.site.endswith("wing"))
    return [
        f"{n} bands on the {side} leg, {most} at most here" for side, n in sorted(legs.items()) if n > most
    ]


def _wrong_side(metals: Counter[str], sex: str, sides: dict[str, str]) -> list[str]:
    wanted = sides.get(sex, "")
    wrong = sorted(site for site in metals if wanted and not site.startswith(wanted))
    sexes = {"F": "a female", "M": "a male"}
    return [f"the metal is on the {site}, {sexes[sex]} wears it on the {wanted} here" for site in wrong]
