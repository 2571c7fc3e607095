"""What a line on *Due* says: the kind of job in a few words, and its deed in one."""

from __future__ import annotations

from typing import Final

from tarsus.core.words.numbers import capital

TITLES: Final = {
    "say again": "Still not looked for?",
    "band missing": "Band missing?",
    "band tight": "Tight band",
    "band unreadable": "Replace unreadable band",
    "band faded": "Replace faded band",
    "band worn": "Replace worn band",
    "band not read any more": "Band still there?",
    "band wearing out": "Have a band ready",
    "chick band check": "Check chick’s band",
    "temporary band to replace": "Replace temporary band",
    "next-day check": "Look on the day after",
    "tell the vet of its weight": "Weight: tell the vet",
    "release from quarantine": "Vet releases",
    "sex evidence conflicts": "Sex: findings differ",
    "sex sample": "Sample for sex",
    "sex result to act on": "Band by sex result",
    "marks to fit": "Fit saved marks",
    "wing band off": "Wing band off",
    "another way to know it": "Another mark to know it",
    "wing band back on": "Wing band back on",
    "natural mark to review": "Look at natural marks",
    "post-mortem awaited": "Post-mortem",
    "whose transponder": "Whose transponder?",
}
"""Kinds of job whose own name is no heading."""

SHORT: Final = {
    "band_checked": "Check",
    "band_off": "Remove",
    "band_on": "Fit",
    "band_owner_named": "Owner",
    "carcase_named": "Name",
    "case_note": "Note",
    "case_opened": "Tell vet",
    "handling": "In hand",
    "health_check": "Check",
    "inventory_signed": "Sign",
    "marks_kept": "Mark",
    "natural_mark": "Add",
    "natural_mark_reviewed": "Look",
    "next_day_check": "Look",
    "not_looked_for": "Say",
    "post_mortem": "Record",
    "quarantine_released": "Release",
    "result_placed": "Place",
    "sample_sent": "Send",
    "sex_finding": "Record",
    "sex_sample": "Sample",
    "sighting": "Seen",
    "stock_changed": "Order",
    "transponder_given": "Give",
    "treatment_rechecked": "Recheck",
    "weighed": "Weigh",
    "withdrawn": "Correct",
}
"""A deed on a button beside its job."""


def due_title(kind: str, number: int = 1) -> str:
    """A kind of job as a heading, with how many where there are several: *Order bands: 4*."""
    title = TITLES.get(kind) or capital(kind)
    return f"{title.rstrip('?')}: {number}" if number > 1 else title
