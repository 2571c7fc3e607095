"""Deeds by which somebody is told on their phone, and ends it."""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import LARGEST_ID, Field, Kind, flag, line, whole
from tarsus.core.deeds.rights import VIEWER

PHONE_NEWS: Final = (
    Deed(
        "phone_news_asked",
        "Tell me on this phone",
        (
            line("name", "This phone", 80, required=True),
            flag("duties", "What is overdue, of your own"),
            flag("search", "Whom to search for"),
            flag("backups", "Backups that are missing"),
            Field("endpoint", Kind.SECRET, "Its push service", required=True, longest=2000, on_form=False),
            Field("key", Kind.SECRET, "Its key", required=True, longest=100, on_form=False),
            Field("auth", Kind.SECRET, "Its shared secret", required=True, longest=40, on_form=False),
        ),
        "What is told on {name} was set.",
        (VIEWER,),
        table="phonenews",
        final="end it on the same page",
        when="",
        page="own-phone-news",
        of_oneself=True,
    ),
    Deed(
        "phone_news_ended",
        "Tell me no more on a phone",
        (whole("phone", "Number of the phone", 1, LARGEST_ID, required=True, column="-"),),
        "Nothing is told on that phone any more.",
        (VIEWER,),
        table="phonenews",
        final="ask again on that phone",
        when="",
        page="own-phone-news",
        of_oneself=True,
    ),
)
