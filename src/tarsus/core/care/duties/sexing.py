"""Sex: a sample to take, an answer to wait for, a result to act on, evidence that does not agree."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BirdFacts, ParkRules, SexFound, SpeciesRules

SAMPLE_TAKEN: Final = "sample taken"
SAMPLE_SENT: Final = "sample sent"
RESULT_RECORDED: Final = "sex finding recorded"
FINDING_WITHDRAWN: Final = "sex finding withdrawn"
METAL_FITTED: Final = "identifying band fitted"

STRONG: Final = ("DNA", "endoscopy", "laid an egg")
LABORATORY_DAYS: Final = 21
WORDS: Final = {"F": "female", "M": "male"}
NUMBERED: Final = ("metal", "closed")


def sexing_duties(bird: BirdFacts, species: SpeciesRules, park: ParkRules, today: date) -> Iterator[Duty]:
    """What a bird's sex asks for.

    Source:
        A sample tied to the band at once: common practice; docs/science/cautions.md.
    """
    waiting = [sample for sample in bird.samples if not sample.answered]
    for sample in waiting:
        if sample.sent_on is None:
            yield _duty(
                bird,
                "sample to send",
                f"test {sample.test or sample.label}",
                f"Send {bird.name}'s sample {sample.label} to the laboratory.",
                f"Taken {sample.taken_on:%-d %B %Y}, and still here.",
                Urgency.SOON,
                cautions.NONE,
                SAMPLE_SENT,
                in_hand=False,
            )
        elif today - sample.sent_on >= timedelta(days=LABORATORY_DAYS):
            yield _duty(
                bird,
                "sex result awaited",
                f"test {sample.test or sample.label}",
                f"Ask the laboratory for {bird.name}'s result, sample {sample.label}.",
                f"Sent {sample.sent_on:%-d %B %Y}, and no answer yet.",
                Urgency.SOON,
                cautions.NONE,
                RESULT_RECORDED,
                in_hand=False,
            )
    if disagreement(bird.found):
        told = ", ".join(f"{WORDS[f.sex]} by {f.known_by}, {f.on:%-d %B %Y}" for f in _definite(bird.found))
        yield _duty(
            bird,
            "sex evidence conflicts",
            "",
            f"Settle {bird.name}'s sex: withdraw the finding that was wrong.",
            f"{told}.",
            Urgency.SOON,
            cautions.SAMPLE,
            FINDING_WITHDRAWN,
            in_hand=False,
            takes_back=tuple(
                (f.fact, f"{WORDS[f.sex]} by {f.known_by}") for f in _definite(bird.found) if f.fact
            ),
        )
    elif bird.sex == "U" and not waiting and _old_enough(bird, species, today):
        yield _duty(
            bird,
            "sex sample",
            "",
            f"Take a sample for {bird.name}'s sex.",
            "Its sex is not known, and no sample is at a laboratory.",
            Urgency.WITH_NEXT_HANDLING,
            cautions.SAMPLE,
            SAMPLE_TAKEN,
        )
    else:
        yield from _result_to_act_on(bird, species, park)


def disagreement(found: tuple[SexFound, ...]) -> bool:
    """Whether findings of a bird's sex contradict each other.

    An egg, a DNA test or endoscopy outweighs what was guessed before it from plumage, size or behaviour; what
    speaks against it later, and two of the same strength that differ, want somebody to decide.
    """
    definite = _definite(found)
    strong = [finding for finding in definite if finding.known_by in STRONG]
    if not strong:
        return len({finding.sex for finding in definite}) > 1
    first = strong[0]
    return any(finding.sex != first.sex for finding in definite if finding in strong or finding.on > first.on)


def _definite(found: tuple[SexFound, ...]) -> list[SexFound]:
    return sorted((finding for finding in found if finding.sex in WORDS), key=lambda finding: finding.on)


def _old_enough(bird: BirdFacts, species: SpeciesRules, today: date) -> bool:
    age = bird.age_days(today)
    return age is None or age >= species.leg_grown_at_days


def _result_to_act_on(bird: BirdFacts, species: SpeciesRules, park: ParkRules) -> Iterator[Duty]:
    """The sex is known and the identifying band is not on the bird at all."""
    site = species.metal_site(bird.sex)
    if bird.sex not in WORDS or not site or any(band.kind in NUMBERED for band in bird.bands):
        return
    told = [finding for finding in bird.found if finding.sex == bird.sex]
    last = max(told, key=lambda finding: finding.on, default=None)
    known = f"{last.known_by}, {last.on:%-d %B %Y}" if last else "on record"
    yield _duty(
        bird,
        "sex result to act on",
        "",
        f"{bird.name} is a {WORDS[bird.sex]}: fit its metal on the {site}.",
        f"{known}. It wears no identifying band yet.",
        Urgency.SOON if park.remark_at_once else Urgency.WITH_NEXT_HANDLING,
        cautions.FIT_BAND,
        METAL_FITTED,
    )


def _duty(
    bird: BirdFacts,
    kind: str,
    subject: str,
    what: str,
    why: str,
    urgency: Urgency,
    caution: str,
    settled_by: str,
    *,
    in_hand: bool = True,
    takes_back: tuple[tuple[str, str], ...] = (),
) -> Duty:
    return Duty(
        kind,
        bird.bird,
        bird.exhibit,
        subject,
        what,
        why,
        None,
        urgency,
        caution,
        in_hand,
        settled_by,
        takes_back,
    )
