"""Which deed settles which duty: what a line on *Today* opens."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.care.duty import Duty
from tarsus.core.deeds.rights import RECORDS, VET

SEEN: Final = "sighting"

SETTLED_BY: Final[dict[str, tuple[str, ...]]] = {
    "search": ("sighting", "whereabouts", "death"),
    "look again": ("sighting",),
    "say again": ("not_looked_for", "looked_for_again"),
    "open case": ("case_note", "instruction", "treatment", "case_closed"),
    "treatment recheck": ("treatment_rechecked", "treatment_ended"),
    "band missing": ("band_off", "handling"),
    "band tight": ("case_opened", "handling"),
    "band unreadable": ("handling", "band_off"),
    "band faded": ("handling", "band_off"),
    "band worn": ("handling", "band_off"),
    "band not read any more": ("band_checked", "handling"),
    "band wearing out": ("handling",),
    "chick band check": ("band_checked", "handling"),
    "temporary band to replace": ("handling", "band_off"),
    "next-day check": ("next_day_check",),
    "tell the vet of its weight": ("case_opened",),
    "weigh again": ("weighed", "handling"),
    "weigh": ("weighed", "handling"),
    "health check": ("health_check",),
    "release from quarantine": ("quarantine_released",),
    "sample to send": ("sample_sent",),
    "sex result awaited": ("sex_finding", "sample_unanswered"),
    "result for no sample": ("result_placed", "withdrawn"),
    "sex evidence conflicts": ("withdrawn", "sex_finding"),
    "sex sample": ("sex_sample", "handling"),
    "sex result to act on": ("handling", "band_on"),
    "marks to fit": ("handling",),
    "metal on the other side": ("handling", "marks_kept"),
    "two metals on a leg": ("handling", "band_off"),
    "kept marks of the other sex": ("marks_kept",),
    "too alike": ("marks_kept", "handling"),
    "wing band off": ("handling", "band_off"),
    "another way to know it": ("natural_mark", "transponder_given"),
    "wing band back on": ("handling", "band_on"),
    "natural mark to review": ("natural_mark_reviewed",),
    "order bands": ("stock_changed", "stock_order_below"),
    "which bird died": ("carcase_named",),
    "post-mortem awaited": ("post_mortem",),
    "band found alone": ("band_owner_named",),
    "look under the antenna": ("sighting", "death"),
    "whose transponder": ("transponder_given",),
}
"""Deeds by kind of duty, the usual one first."""

OWN_DUTIES: Final[dict[str, frozenset[str]]] = {
    VET: frozenset(
        {
            "band tight",
            "health check",
            "next-day check",
            "post-mortem awaited",
            "release from quarantine",
            "result for no sample",
            "tell the vet of its weight",
            "treatment recheck",
            "weigh again",
        }
    ),
    RECORDS: frozenset(
        {
            "band not read any more",
            "metal on the other side",
            "order bands",
            "post-mortem awaited",
            "result for no sample",
            "sample to send",
            "sex evidence conflicts",
            "sex result awaited",
            "sex result to act on",
            "too alike",
        }
    ),
}
"""Kinds of jobs that are the vet's and the records officer's own: first on their *Today*, the rest folded."""

_SUBJECTS: Final = {
    "band": "band",
    "case": "case",
    "mark": "mark",
    "death": "death",
    "found": "found",
    "test": "test",
    "question": "question",
    "treatment": "treatment",
}


@dataclass(frozen=True, slots=True)
class Settling:
    """A deed that settles a duty, and what of it the duty knows already; `title` where it has its own."""

    deed: str
    named: Mapping[str, Any]
    title: str = ""


def settling(duty: Duty) -> tuple[Settling, ...]:
    """The deeds that settle a duty, the usual one first, each with what its form begins with."""
    named = _named(duty)
    deeds = [deed for deed in SETTLED_BY[duty.kind] if deed != "withdrawn" or not duty.takes_back]
    told = [Settling(deed, named | _of_its_own(deed, duty)) for deed in deeds]
    return (
        *(Settling("withdrawn", {"corrects": fact}, f"Withdraw: {words}") for fact, words in duty.takes_back),
        *told,
    )


def _named(duty: Duty) -> dict[str, Any]:
    named: dict[str, Any] = {}
    if duty.bird is not None:
        named |= {"bird": duty.bird, "birds": duty.bird}
    # That nobody looks for it is said of a bird or of an exhibit, not of both.
    if duty.exhibit is not None and duty.kind != "say again":
        named["exhibit"] = duty.exhibit
    word, _, key = duty.subject.partition(" ")
    if word in _SUBJECTS and key:
        named[_SUBJECTS[word]] = key
    if word == "stock" and key:
        named["stock"] = key
    if duty.kind == "next-day check":
        named["handling"] = duty.subject
    return named


def _of_its_own(deed: str, duty: Duty) -> dict[str, Any]:
    if deed == "sighting":
        return {"how": "by sight"}
    if deed == "sex_finding" and duty.subject.startswith("test "):
        return {"known_by": "DNA"}
    if deed == "withdrawn" and duty.subject.startswith("question "):
        return {"corrects": duty.subject.removeprefix("question ")}
    if deed == "case_opened":
        return {"about": duty.why.rstrip(".")[:200]}
    return {}
