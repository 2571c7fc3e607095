"""What a laboratory's results would say of our samples, before anything of it is told."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final
from uuid import UUID

from tarsus.core.care.facts import StrayResult
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import birds_named, sexes_of
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.samples import Sample, samples_with_state, stray_results
from tarsus.records.models import SexTest
from tarsus.tables.laboratory import ResultLine, label_key

SEX_WORDS: Final = {"F": "female", "M": "male", "U": "not known", "": "no answer"}
MOST_ANSWERED: Final = 40
"""So many samples that were answered are shown, those taken last first."""


@dataclass(frozen=True, slots=True)
class SampleShown:
    """A sample with the drawing of its bird, and the days of its way."""

    sample: Sample
    portrait: Portrait | None
    taken_on: date
    sent_on: date | None
    found: str


@dataclass(frozen=True, slots=True)
class SamplesPage:
    """Samples by where they are, and results that name none of ours."""

    here: tuple[SampleShown, ...]
    away: tuple[SampleShown, ...]
    done: tuple[SampleShown, ...]
    stray: tuple[StrayResult, ...]


def samples_page(now: datetime) -> SamplesPage:
    """Every sample that waits, and the last of those that were answered."""
    zone = park_zone()
    samples = samples_with_state(SexTest.objects.all())
    lately = [one for one in samples if not one.done]
    lately += [one for one in samples if one.done][-MOST_ANSWERED:]
    portraits = _portraits(lately, now)
    shown = [
        SampleShown(
            one,
            portraits.get(one.bird_id),
            day_of(one.taken_at, zone),
            None if one.sent_at is None else day_of(one.sent_at, zone),
            SEX_WORDS[one.sex],
        )
        for one in lately
    ]
    return SamplesPage(
        here=tuple(one for one in shown if not one.sample.done and one.sent_on is None),
        away=tuple(one for one in shown if not one.sample.done and one.sent_on is not None),
        done=tuple(reversed([one for one in shown if one.sample.done])),
        stray=tuple(stray_results(zone)),
    )


@dataclass(frozen=True, slots=True)
class LineLooked:
    """One line of a laboratory's list as it would be told.

    `deed` is what it would tell: ``sex_finding``, ``sample_unanswered``, ``result_unplaced``; empty where it
    tells nothing, and `says` why. `portrait` is the bird's.
    """

    line: int
    label: str
    sex: str
    found: str
    deed: str
    says: str
    test_id: UUID | None = None
    bird_id: int | None = None
    bird: str = ""
    portrait: Portrait | None = None


def results_looked_at(lines: Sequence[ResultLine], now: datetime) -> tuple[LineLooked, ...]:
    """Hold a laboratory's lines against our samples.

    Args:
        lines: as they stand in its file.
        now: the moment of asking.

    Returns:
        One line each: what it would tell, or why it tells nothing. A sample that stands there twice with
        different results tells nothing; one that we do not have becomes a question.
    """
    samples = {label_key(one.label): one for one in samples_with_state(SexTest.objects.all())}
    asked = {label_key(one.label) for one in stray_results(park_zone())}
    sexes = sexes_of((one.bird_id for one in samples.values()), day_of(now, park_zone()))
    portraits = _portraits(samples.values(), now)
    of_label: dict[str, set[str]] = defaultdict(set)
    for line in lines:
        of_label[label_key(line.label)].add(line.sex)
    looked, met = [], set[str]()
    for line in lines:
        key = label_key(line.label)
        sample = samples.get(key)
        deed, says = _becomes(line, sample, of_label[key], again=key in met, asked=key in asked)
        met.add(key)
        if deed == "sex_finding" and sample is not None:
            before = sexes.get(sample.bird_id, ("U", ""))
            if before[0] in ("F", "M") and before[0] != line.sex:
                says = f"the record says {SEX_WORDS[before[0]]}, {before[1]}: look at both"
        looked.append(_looked(line, sample, deed, says, portraits))
    return tuple(looked)


def _becomes(
    line: ResultLine, sample: Sample | None, said: Iterable[str], *, again: bool, asked: bool
) -> tuple[str, str]:
    """What a line would tell, and what there is to say of it."""
    if line.trouble:
        return "", line.trouble
    if len(set(said)) > 1:
        return "", "stands in this file twice with different results; ask the laboratory"
    if again:
        return "", "stands in this file twice"
    if sample is None and asked:
        return "", "was asked about before"
    if sample is None:
        if not line.sex:
            return "", "is no sample of ours, and there is no result"
        return "result_unplaced", "is no sample of ours: becomes a question"
    if sample.sex:
        same = sample.sex == line.sex
        return (
            "",
            "was written down before" if same else f"is answered: {SEX_WORDS[sample.sex]}; look at both",
        )
    if not line.sex:
        return ("", "was written down before") if sample.no_answer else ("sample_unanswered", "no answer")
    return "sex_finding", ""


def _portraits(samples: Iterable[Sample], now: datetime) -> dict[int, Portrait]:
    birds = birds_named({one.bird_id for one in samples}, day_of(now, park_zone()))
    return {bird.bird_id: portrait_of(bird) for bird in birds}


def _looked(
    line: ResultLine, sample: Sample | None, deed: str, says: str, portraits: Mapping[int, Portrait]
) -> LineLooked:
    return LineLooked(
        line=line.line,
        label=line.label,
        sex=line.sex,
        found=SEX_WORDS[line.sex],
        deed=deed,
        says=says,
        test_id=None if sample is None else sample.test_id,
        bird_id=None if sample is None else sample.bird_id,
        bird="" if sample is None else sample.bird,
        portrait=None if sample is None else portraits.get(sample.bird_id),
    )
