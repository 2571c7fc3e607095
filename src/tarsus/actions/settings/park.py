"""The park itself: its name, clock, sides, reader and limits."""

from __future__ import annotations

import zoneinfo
from collections.abc import Mapping
from typing import Any, Final

from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known_person
from tarsus.actions.settings.rows import said, save_row
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records.models import Colour, Park, SignedIn
from tarsus.records.models.words import ReadsAs, Side, VisitorPages

_CHANCES: Final = ("strangers", "gone_per_year", "wanted_misnaming")
SET_HERE: Final = (
    "name",
    "time_zone",
    "female_side",
    "male_side",
    "metal_letter",
    "reader",
    "strangers",
    "gone_per_year",
    "sureness",
    "wanted_misnaming",
    "bands_per_leg",
    "remark_at_once",
    "rest_days",
    "minutes_from_chase",
    "too_hot_c",
    "too_cold_c",
    "catch_until_hour",
    "condition_scale",
    "marks_rest_days",
    "pictures_days",
    "shared_phones",
    "idle_lock_minutes",
    "desk_idle_minutes",
    "office_second_step",
    "visitor_pages",
)


@transaction.atomic
def set_park(*, by: int, values: Mapping[str, Any]) -> None:
    """Set what a park has chosen; the first time this names it.

    Args:
        by: the person who sets it.
        values: new values by field, those of `SET_HERE`.

    Raises:
        UnknownWord: a field, side, reader or time zone that is not known.
        WrongValue: no name, the same side for both sexes, a letter that is taken, a number out of its range.
    """
    known_person(by)
    for field in values:
        if field not in SET_HERE:
            raise UnknownWord(field, field, "field of the park", SET_HERE)
    row = Park.objects.filter(pk=1).first() or Park(id=1)
    asked = {field: getattr(row, field) for field in SET_HERE} | dict(values)
    asked["name"] = said("name", asked["name"], "the park's name")
    check_zone(asked["time_zone"])
    _check_sides(asked["female_side"], asked["male_side"])
    _check_letter(asked["metal_letter"])
    _check_numbers(asked)
    before, ends_after = row.desk_idle_minutes, asked["desk_idle_minutes"]
    save_row(row, {field: asked[field] for field in {*values, "name"}}, by)
    if ends_after and (not before or ends_after < before):
        # Until now the last use was kept less closely: nobody who is at work is shut out by that.
        SignedIn.objects.filter(ended_at__isnull=True).update(last_used_at=timezone.now())


def check_zone(name: str) -> None:
    """Refuse a time zone that no clock here knows.

    Raises:
        UnknownWord: it is none.
    """
    zones = zoneinfo.available_timezones()
    if name not in zones:
        raise UnknownWord("time_zone", name, "time zone", sorted(zones))


def _check_sides(female: str, male: str) -> None:
    for place, side in (("female_side", female), ("male_side", male)):
        if side not in Side.values:
            raise UnknownWord(place, side, "side", Side.values)
    if female and female == male:
        raise WrongValue("male_side", f"is the females' side too; choose the other, or none ({female})")
    if bool(female) != bool(male):
        raise WrongValue("male_side", "is said for one sex only; choose a side for both, or for neither")


def _check_letter(letter: str) -> None:
    if not 1 <= len(letter) <= 2 or letter.isspace() or "?" in letter:
        raise WrongValue("metal_letter", f"{letter!r} cannot stand in a band; choose one letter, or two")
    other = Colour.objects.filter(letter=letter).first()
    if other is not None:
        raise WrongValue("metal_letter", f"{letter} is the letter of {other.name}; choose another")


def _check_numbers(asked: Mapping[str, Any]) -> None:
    if asked["reader"] not in ReadsAs.values:
        raise UnknownWord("reader", asked["reader"], "reader", ReadsAs.values)
    for field in _CHANCES:
        if not 0 <= asked[field] <= 1:
            raise WrongValue(field, f"{asked[field]:g} is no chance; write a number from 0 to 1")
    if not 0 < asked["wanted_misnaming"] < 0.5:
        raise WrongValue("wanted_misnaming", "write more than 0 and less than 0.5, for example 0.01")
    if not 1 <= asked["bands_per_leg"] <= 4:
        raise WrongValue("bands_per_leg", f"{asked['bands_per_leg']} bands are not drawn; write 1 to 4")
    if not 0 <= asked["catch_until_hour"] <= 24:
        raise WrongValue("catch_until_hour", f"{asked['catch_until_hour']} is no hour; write 0 to 24")
    cold, hot = asked["too_cold_c"], asked["too_hot_c"]
    if cold is not None and cold >= hot:
        raise WrongValue(
            "too_cold_c", f"{cold:g} °C is not below {hot:g} °C, from where it is too hot; write less"
        )
    if not 1 <= asked["minutes_from_chase"] <= 240:
        raise WrongValue(
            "minutes_from_chase", f"{asked['minutes_from_chase']} min is out of range; write 1 to 240"
        )
    _check_scales(asked)


def _check_scales(asked: Mapping[str, Any]) -> None:
    if asked["visitor_pages"] not in VisitorPages.values:
        raise UnknownWord("visitor_pages", asked["visitor_pages"], "way for visitors", VisitorPages.values)
    if not 3 <= asked["condition_scale"] <= 9:
        raise WrongValue(
            "condition_scale", f"a scale from 1 to {asked['condition_scale']} is not used; write 3 to 9"
        )
    if not 0 <= asked["pictures_days"] <= 3650:
        raise WrongValue(
            "pictures_days", f"{asked['pictures_days']} days are out of range; write 1 to 3650, or 0 for none"
        )
    if not 0 <= asked["idle_lock_minutes"] <= 240:
        raise WrongValue(
            "idle_lock_minutes",
            f"{asked['idle_lock_minutes']} minutes are out of range; write 1 to 240, or 0 for never",
        )
    if asked["desk_idle_minutes"] and not 5 <= asked["desk_idle_minutes"] <= 1440:
        raise WrongValue(
            "desk_idle_minutes",
            f"{asked['desk_idle_minutes']} minutes are out of range; write 5 to 1440, or 0 for never",
        )
    if not 0 <= asked["marks_rest_days"] <= 3660:
        raise WrongValue(
            "marks_rest_days", f"{asked['marks_rest_days']} days are out of range; write 0 to 3660"
        )
