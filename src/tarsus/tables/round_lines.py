"""A line of an old log of rounds: how many were counted, and who of them was not seen.

A count names nobody. Told with a closing it would make everybody missed whom it does not name; so a round of
which the line names nobody stays open, and misses nobody. It is closed where the line tells of each bird.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any, Final

from tarsus.tables.known import name_key
from tarsus.tables.list_cells import Cells, NotUnderstood
from tarsus.tables.list_kinds import SEEN
from tarsus.tables.list_known import ListBird, NotFound, nearest
from tarsus.tables.list_said import REASON, Fact, Said, sighting_id, told_id
from tarsus.tables.park_words import LANGUAGES, folded_word, language

_BETWEEN: Final = re.compile(r"\s*[,;&+/、]\s*|\s+(?:and|und|et|y|en)\s+")


def round_said(cells: Cells) -> Said:
    """What a line of a log of rounds says.

    Raises:
        NotUnderstood: a cell that cannot be taken, or a count that its names contradict.
    """
    at, when = cells.moment()
    day = at.astimezone(cells.known.zone).date()
    exhibit = cells.named("exhibit", cells.known.exhibits, "exhibit")
    group, roll = _group(cells, exhibit, day)
    counted = cells.whole("counted") if cells.text("counted") else None
    unseen = _unseen(cells, roll)
    seen = _others(cells, roll, unseen, counted)
    if counted is None and seen is None:
        raise NotUnderstood("counted", "", "is empty", "say how many were counted, or leave the line out")
    key = (when, exhibit, group, counted, cells.text("unseen"))
    facts, ids = _facts(cells, key, at, {bird.bird_id for bird in seen or ()}, closes=seen is not None)
    words = [f"{when}:"]
    words += [] if counted is None else [f"{counted} counted"]
    words += [f"{len(seen)} seen by name, closed"] if seen is not None else ["nobody named, left open"]
    if unseen:
        words.append(f"not seen: {', '.join(bird.name or bird.number for bird in unseen)}")
    called = f"{cells.known.exhibit_name(exhibit)}, {group}"
    return Said(called, f"{words[0]} {'; '.join(words[1:])}", key, facts, ids=ids)


def _group(cells: Cells, exhibit: int, day: date) -> tuple[str, tuple[ListBird, ...]]:
    """The look-alike group of the line, and who of it was to be looked for."""
    rolls = cells.known.roll(exhibit, day)
    text = cells.text("group")
    if text:
        names = {name_key(name): group for name, group in cells.known.groups.items()}
        if name_key(text) not in names:
            near = nearest(text, cells.known.groups)
            raise NotUnderstood("group", text, "is no species of this register", "write its name", near)
        return names[name_key(text)], rolls.get(names[name_key(text)], ())
    if len(rolls) != 1:
        how_many = "several kinds of birds" if rolls else "no bird"
        raise NotUnderstood(
            *(
                "group",
                "",
                f"is not said, and {how_many} lived there on {day}",
                "name the species that was counted",
            )
        )
    return next(iter(rolls.items()))


def _unseen(cells: Cells, roll: tuple[ListBird, ...]) -> tuple[ListBird, ...] | None:
    """Whom the line names as not seen; nothing where it says nothing of names."""
    text = cells.text("unseen")
    if not text:
        return None
    if folded_word(text) in _NOBODY:
        return ()
    found = []
    for name in (part for part in _BETWEEN.split(text) if part):
        try:
            bird = cells.known.bird(name)
        except NotFound as reason:
            remedy = "write the names with commas between, or mend the name"
            raise NotUnderstood("unseen", text, f"names '{name}', which {reason.reason}", remedy) from None
        if bird not in roll:
            raise NotUnderstood(
                *("unseen", text, f"names '{name}', which was not to be looked for there that day"),
                "look where it lived by the register, or leave its name out",
            )
        found.append(bird)
    return tuple(dict.fromkeys(found))


def _others(
    cells: Cells, roll: tuple[ListBird, ...], unseen: tuple[ListBird, ...] | None, counted: int | None
) -> tuple[ListBird, ...] | None:
    """Who was seen by what the line says of those who were not; nothing where it tells of nobody by name."""
    if counted == 0:
        return ()
    if unseen is None or cells.once.get("others") != SEEN:
        return None
    seen = tuple(bird for bird in roll if bird not in unseen)
    if counted is not None and counted != len(seen):
        raise NotUnderstood(
            *(
                "counted",
                str(counted),
                f"and {len(unseen)} unseen do not make the {len(roll)} that lived there",
            ),
            "look whom the register has there that day, or leave the names out",
        )
    return seen


def _facts(
    cells: Cells, key: tuple[Any, ...], at: Any, seen: set[int], *, closes: bool
) -> tuple[tuple[Fact, ...], tuple[Any, ...]]:
    when, exhibit, group, counted, _ = key
    own = told_id("rounds", *key)
    about: dict[str, Any] = {"at": at, "round": str(told_id(own, "round"))}
    told: list[tuple[Any, Mapping[str, Any]]] = [
        (own, {"kind": "round_started", **about, "exhibit": exhibit})
    ]
    if counted is not None:
        count = {"kind": "count", **about, "lookalike": group, "counted": counted}
        told.append((told_id(own, "count"), count))
    for bird in sorted(seen):
        sighting = {"kind": "sighting", **about, "exhibit": exhibit, "bird": bird, "how": "by sight"}
        told.append((sighting_id(bird, when, exhibit), sighting))
    if note := _note(cells, named=closes):
        told.append((told_id(own, "note", note), {"kind": "note", **about, "text": note}))
    if closes:
        told.append((told_id(own, "closed"), {"kind": "round_closed", **about}))
    return tuple(fact for _, fact in told), tuple(one for one, _ in told)


def _note(cells: Cells, *, named: bool) -> str:
    """What the line says beside: who called, and names that are told in no other way."""
    who, unseen = cells.text("who"), "" if named else cells.text("unseen")
    said = [f"called by {who}"] if who else []
    said += [f"unseen: {unseen}"] if unseen else []
    return f"{'; '.join(said)} ({REASON})" if said else ""


_NOBODY: Final = frozenset(word for code in LANGUAGES for word in language(code).words("unseen", "nobody"))
