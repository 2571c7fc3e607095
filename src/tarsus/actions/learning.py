"""Keep what checks teach of each reader, made anew when there is something new to learn from."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.teaching import Lesson, lesson, person_lesson
from tarsus.queries.confirmed import Confirmed, confirmed_readings, has_known_colours, of_known_colours
from tarsus.queries.observers import Thought, thought_of
from tarsus.queries.practice import practice_shared
from tarsus.records.models import LearnedReader


def learn_readers(now: datetime) -> int:
    """Make the lessons anew of whoever has new checks, and the park's.

    Asking twice changes nothing: a lesson is kept beside the version of what it rests on. What was said of
    an old reading is not touched. It is an errand: only what was found is written in a transaction.

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
    practice = _practice(thought)
    kept: dict[int | None, str] = {row.person_id: row.version for row in LearnedReader.objects.all()}
    found: dict[int | None, tuple[str, Lesson]] = {}
    for person, own in by_person.items():
        # A person's lesson is beyond the others', but made anew only when something of theirs is new.
        drawn = practice.get(person, [])
        version = _version(thought, person, own, drawn)
        if kept.get(person) == version or (person is not None and person not in thought.people):
            continue
        found[person] = version, _lesson(thought, person, own, checks, drawn)
    gone = [person for person in set(kept) - set(by_person) if person is not None]
    if not found and not gone:
        return 0  # nothing new: the writer's turn is left to others
    with transaction.atomic():
        for person, (version, learned) in found.items():
            row = LearnedReader.objects.filter(person=person).first() or LearnedReader(person_id=person)
            row.version, row.made_at, row.lesson = version, now, learned.as_plain()
            row.save()
        LearnedReader.objects.filter(person_id__in=gone).delete()
    return len(found)


def _practice(thought: Thought) -> dict[int | None, list[Check]]:
    """What everybody shares of their practice with colours that the park still has."""
    words = thought.park.words
    return {
        person: [check for check in checks if has_known_colours(check, words)]
        for person, checks in practice_shared().items()
    }


def _lesson(
    thought: Thought,
    person: int | None,
    own: Sequence[Confirmed],
    every: Sequence[Confirmed],
    practice: Sequence[Check],
) -> Lesson:
    if person is None:
        return lesson(_checks(every), thought.park, thought.palette)
    others = [one for one in every if one.reader != person]
    return person_lesson(
        _checks(own), _checks(others), thought.people[person], thought.park, thought.palette, practice
    )


def _checks(confirmed: Sequence[Confirmed]) -> list[Check]:
    return [one.check for one in confirmed]


def _version(
    thought: Thought, person: int | None, checks: Sequence[Confirmed], practice: Sequence[Check]
) -> str:
    rests_on: dict[str, Any] = {
        "form": 2,
        "checks": [str(one.id) for one in checks],
        "worn": [str(one.check) for one in checks],
        "palette": thought.palette.as_mapping(),
        "park": repr(thought.park),
        "person": repr(thought.people.get(person)) if person is not None else "",
    }
    if practice:
        rests_on["practice"] = [str(one) for one in practice]
    return hashlib.sha256(json.dumps(rests_on, sort_keys=True).encode()).hexdigest()[:32]
