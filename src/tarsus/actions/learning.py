"""Keep what checks teach of each reader, made anew when there is something new to learn from."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.teaching import Lesson, lesson, person_lesson
from tarsus.queries.confirmed import Confirmed, confirmed_readings, of_known_colours
from tarsus.queries.observers import Thought, thought_of
from tarsus.records.models import LearnedReader


@transaction.atomic
def learn_readers(now: datetime) -> int:
    """Make the lessons anew of whoever has new checks, and the park's.

    Asking twice changes nothing: a lesson is kept beside the version of what it rests on. What was said of
    an old reading is not touched.

    Args:
        now: the moment of asking.

    Returns:
        How many lessons were written.
    """
    thought = thought_of()
    checks = of_known_colours(confirmed_readings(), thought.park.words)
    by_person: dict[int | None, list[Confirmed]] = defaultdict(list)
    for one in checks:
        by_person[one.reader].append(one)
    by_person[None] = checks
    kept: dict[int | None, str] = {row.person_id: row.version for row in LearnedReader.objects.all()}
    written = 0
    for person, own in by_person.items():
        # A person's lesson is beyond the others', but made anew only when something of theirs is new.
        version = _version(thought, person, own)
        if kept.get(person) == version or (person is not None and person not in thought.people):
            continue
        learned = _lesson(thought, person, own, checks)
        row = LearnedReader.objects.filter(person=person).first() or LearnedReader(person_id=person)
        row.version, row.made_at, row.lesson = version, now, learned.as_plain()
        row.save()
        written += 1
    gone = [person for person in set(kept) - set(by_person) if person is not None]
    LearnedReader.objects.filter(person_id__in=gone).delete()
    return written


def _lesson(
    thought: Thought, person: int | None, own: Sequence[Confirmed], every: Sequence[Confirmed]
) -> Lesson:
    if person is None:
        return lesson(_checks(every), thought.park, thought.palette)
    others = [one for one in every if one.reader != person]
    return person_lesson(_checks(own), _checks(others), thought.people[person], thought.park, thought.palette)


def _checks(confirmed: Sequence[Confirmed]) -> list[Check]:
    return [one.check for one in confirmed]


def _version(thought: Thought, person: int | None, checks: Sequence[Confirmed]) -> str:
    rests_on = {
        "form": 2,
        "checks": [str(one.id) for one in checks],
        "worn": [str(one.check) for one in checks],
        "palette": thought.palette.as_mapping(),
        "park": repr(thought.park),
        "person": repr(thought.people.get(person)) if person is not None else "",
    }
    return hashlib.sha256(json.dumps(rests_on, sort_keys=True).encode()).hexdigest()[:32]
