"""Species: what Tarsus must know of them, the vet's limits, and how they are marked here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Final

from django.db import transaction

from tarsus.actions.changes import note_changes
from tarsus.actions.known import known, known_person
from tarsus.actions.refusals import OutOfOrder
from tarsus.actions.settings.rows import said, save_row
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.sites import SITES
from tarsus.records.models import Colour, Rule, Species
from tarsus.records.models.words import Form

SEXES: Final = ("F", "M", "U")
MOST_COLOURS: Final = 4
_SET_BY_LEAD: Final = (
    "name",
    "scientific_name",
    "lookalike",
    "form",
    "sites",
    "chews",
    "leg_diameter_mm",
    "band_size",
    "max_unseen_days",
    "counts_at_days",
    "bands_off_in_moult",
    "natural_mark_review_days",
)
_SET_BY_VET: Final = (
    "female_low_g",
    "female_high_g",
    "male_low_g",
    "male_high_g",
    "mass_source",
    "weight_prompt_percent",
    "weight_alarm_percent",
    "weigh_every_days",
    "health_check_every_days",
    "leg_grown_at_days",
    "grown_plumage_at_days",
    "chick_check_every_days",
    "moult_from_month",
    "moult_to_month",
    "rest_days",
    "minutes_from_chase",
    "too_hot_c",
    "too_cold_c",
)


@transaction.atomic
def save_species(
    *, by: int, values: Mapping[str, Any], excluded: Sequence[str] | None, species_id: int | None = None
) -> int:
    """Write a species down, a new one or as it is now.

    Args:
        by: the person who writes.
        values: by field: name, look-alike group, form, sites that it and the authority allow, and so on.
        excluded: names of colours that are never proposed for it; `None` leaves them as they are.
        species_id: the one that is changed, `None` for a new one.

    Returns:
        The species' id.

    Raises:
        Unknown: no such species.
        UnknownWord: no such field, form, site or colour.
        WrongValue: a name that is missing or taken, or days out of their range.
    """
    known_person(by)
    row = known(Species, species_id, "species") if species_id is not None else Species()
    asked = _only(values, _SET_BY_LEAD)
    asked["name"] = said("name", str(asked.get("name", row.name)), "the species' name")
    asked["lookalike"] = said(
        "lookalike", str(asked.get("lookalike", row.lookalike)), "one word for birds that look alike"
    )
    if "/" in asked["lookalike"]:
        raise WrongValue("lookalike", "a stroke cannot stand in it; write one word")
    if Species.objects.filter(name=asked["name"]).exclude(pk=row.pk).exists():
        raise WrongValue("name", f"{asked['name']} is a species here already; change that one")
    if asked.get("form", row.form) not in Form.values:
        raise UnknownWord("form", str(asked["form"]), "way of telling birds apart", Form.values)
    for site in asked.get("sites", ()):
        if site not in SITES:
            raise UnknownWord("sites", site, "site", SITES)
    if not 1 <= asked.get("max_unseen_days", row.max_unseen_days) <= 365:
        raise WrongValue("max_unseen_days", "write 1 to 365 days")
    if asked.get("leg_diameter_mm") is not None and not asked["leg_diameter_mm"] > 0:
        raise WrongValue("leg_diameter_mm", "write the diameter where the band sits, more than 0 mm")
    colours = None if excluded is None else _colours(excluded)
    saved = save_row(row, asked, by)
    if colours is not None:
        before = sorted(row.excluded_colours.values_list("name", flat=True))
        row.excluded_colours.set(colours)
        after = sorted(colour.name for colour in colours)
        note_changes("species", saved, {"excluded_colours": before}, {"excluded_colours": after}, by)
    return saved


@transaction.atomic
def set_limits(*, by: int, species_id: int, values: Mapping[str, Any]) -> None:
    """Set what is the vet's: weights that ask for a second weighing, checks, moult, limits of a catch.

    Raises:
        Unknown: no such species.
        UnknownWord: no such field.
        WrongValue: a range whose end is below its beginning, a percentage or month out of range.
    """
    known_person(by)
    row = known(Species, species_id, "species")
    asked = _only(values, _SET_BY_VET)
    now = {field: getattr(row, field) for field in _SET_BY_VET} | asked
    for sex in ("female", "male"):
        low, high = now[f"{sex}_low_g"], now[f"{sex}_high_g"]
        if low is not None and high is not None and high < low:
            raise WrongValue(
                f"{sex}_high_g", f"{high:g} g is below the lower weight, {low:g} g; exchange them"
            )
    prompt, alarm = now["weight_prompt_percent"], now["weight_alarm_percent"]
    if not 0 < prompt < alarm <= 100:
        raise WrongValue("weight_alarm_percent", "the second percentage must be above the first, at most 100")
    if (now["moult_from_month"] is None) != (now["moult_to_month"] is None):
        raise WrongValue("moult_to_month", "write both months of the moult, or neither")
    save_row(row, asked, by)


@transaction.atomic
def set_rule(
    *,
    by: int,
    species_id: int,
    from_on: date,
    metal: Mapping[str, str | None],
    colours: Mapping[str, Mapping[str, int]],
    repeat_on_a_site: bool = True,
    mates_match: bool = False,
) -> int:
    """Say how a species is marked here from a day on. Rules bind what Tarsus proposes, not what is found.

    Args:
        by: the person who sets it.
        species_id: which species.
        from_on: the first day; an earlier rule stays readable for the days before.
        metal: site of the metal band by sex, `None` for none.
        colours: number of colour bands by sex and site.
        repeat_on_a_site: one colour may stand twice on a site.
        mates_match: a pair wears the same colours on opposite sides.

    Returns:
        The rule's id.

    Raises:
        Unknown: no such species.
        UnknownWord: no such sex or site.
        WrongValue: a site that the species does not allow, or too many bands on one.
        OutOfOrder: a rule of a later day exists.
    """
    known_person(by)
    species = known(Species, species_id, "species")
    for sex in (*metal, *colours):
        if sex not in SEXES:
            raise UnknownWord("metal", sex, "sex", SEXES)
    asked = {sex: {site: n for site, n in colours.get(sex, {}).items() if n} for sex in SEXES}
    for sex in SEXES:
        for site in [*asked[sex], *([metal[sex]] if metal.get(sex) else [])]:
            if site not in (species.sites or SITES):
                raise WrongValue("colours", f"{site} is not allowed for {species}; allow the site first")
        for site, number in asked[sex].items():
            if not 0 < number + (metal.get(sex) == site) <= MOST_COLOURS:
                raise WrongValue(
                    "colours", f"{number} colours on the {site} are too many; at most {MOST_COLOURS} bands"
                )
    later = Rule.objects.filter(species=species, from_on__gt=from_on).order_by("from_on").first()
    if later is not None:
        raise OutOfOrder("from_on", f"a rule of {later.from_on} exists; choose that day or a later one")
    row = Rule.objects.filter(species=species, from_on=from_on).first() or Rule(
        species=species, from_on=from_on, recorded_by_id=by
    )
    values = {
        "metal": {sex: metal.get(sex) for sex in SEXES},
        "colours": asked,
        "repeat_on_a_site": repeat_on_a_site,
        "mates_match": mates_match,
    }
    return save_row(row, values, by)


def _only(values: Mapping[str, Any], allowed: tuple[str, ...]) -> dict[str, Any]:
    for field in values:
        if field not in allowed:
            raise UnknownWord(field, field, "field that is set here", allowed)
    return dict(values)


def _colours(names: Sequence[str]) -> list[Colour]:
    rows = {colour.name: colour for colour in Colour.objects.all()}
    for name in names:
        if name not in rows:
            raise UnknownWord("excluded", name, "colour of the palette", rows)
    return [rows[name] for name in names]
