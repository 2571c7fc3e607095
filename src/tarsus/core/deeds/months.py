"""Deeds of the records office: months that were handed in."""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import day_that_was
from tarsus.core.deeds.rights import RECORDS

MONTHS: Final = (
    Deed(
        "inventory_signed",
        "Sign a month's inventory",
        (day_that_was("month", "Any day of the month", required=True),),
        "Inventory of {month} signed.",
        (RECORDS,),
        table="printedinventory",
        final="a later fact becomes a dated adjustment beside it",
        when="",
        asks_twice=True,
    ),
)
