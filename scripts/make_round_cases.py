"""Write tests/published/round_cases.json out of scripts/round_cases.txt, by another way than the core's.

Roll calls are replayed here moment by moment, as a keeper would follow them with a pencil: no spans, no
sweep, no union of sets. What the hand wrote beside each case (its lines with =) is held against the replay
before anything is written: every figure was worked out twice, neither time by the code under test.

    .venv/bin/python scripts/make_round_cases.py            write the file
    .venv/bin/python scripts/make_round_cases.py --check    say whether it is up to date
"""

from __future__ import annotations

import json
import sys
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

HERE = Path(__file__).resolve().parent
TOLD, WRITTEN = HERE / "round_cases.txt", HERE.parent / "tests" / "published" / "round_cases.json"
PEOPLE = {"t": 3, "o": 7, "n": 9}
INITIAL = {number: initial for initial, number in PEOPLE.items()}
EXHIBIT, HOURS, SURE = 1, 14, 0.9
DAY = date(2026, 6, 11)
KINDS = {"start": "round_started", "close": "round_closed", "reopen": "round_reopened"}
TURN = {"round_started": 0, "count": 1, "sighting": 1, "round_not_done": 2, "round_closed": 3}

Json = dict[str, Any]


def moment(words: list[str], zone: ZoneInfo) -> datetime:
    """Take a day, where one is said, and a time off the front of some words."""
    days = int(words.pop(0)) if words[0][0] in "+-" and words[0] != "-" else 0
    clock = time.fromisoformat(words.pop(0).zfill(5))
    return datetime.combine(DAY + timedelta(days=days), clock, tzinfo=zone)


def taken(words: list[str], word: str) -> str | None:
    """Take a word and what follows it off the end of a line."""
    if word not in words[:-1]:
        return None
    at = words.index(word)
    value = words[at + 1]
    del words[at : at + 2]
    return value


def fact(line: str, number: int, zone: ZoneInfo) -> Json:
    """One line as the fact that a phone would send; `heard` is the register's own."""
    words = line.split()
    at = moment(words, zone)
    heard, name = taken(words, "heard"), taken(words, "as") or f"f{number:02}"
    by, deed, *rest = words
    known = at if heard is None else None if heard == "?" else moment([heard], zone)
    told: Json = {"id": name, "at": at.isoformat(), "by": PEOPLE[by]}
    told["heard"] = known and known.isoformat()
    if deed == "withdraw":
        return {**told, "kind": "withdrawn", "corrects": rest[0], "because": "a mistake"}
    told["round"] = None if rest[0] == "-" else rest[0]
    return {**told, **said(deed, rest[1:])}


def said(deed: str, rest: list[str]) -> Json:
    """The keys of one kind of fact."""
    if deed in KINDS:
        return {"kind": KINDS[deed], "exhibit": EXHIBIT}
    if deed == "notdone":
        group = {} if rest[0] == "." else {"lookalike": rest[0]}
        return {"kind": "round_not_done", "exhibit": EXHIBIT, "because": " ".join(rest[1:]), **group}
    if deed == "count":
        return {"kind": "count", "lookalike": rest[0], "counted": int(rest[1])}
    if deed == "group":
        place = taken(rest, "place")
        keys = {"group": rest[0], "size": int(rest[1]), "place": place and int(place)}
        return {"kind": "group", **keys, "flew": rest[-1] == "flew"}
    told: Json = {"kind": "sighting", "exhibit": EXHIBIT, "lookalike": rest[0], "candidates": []}
    if deed == "part":
        pairs = (word.split(":") for word in rest[1:])
        candidates = [{"bird": int(bird), "chance": float(chance)} for bird, chance in pairs]
        return {**told, "bird": None, "how": None, "candidates": candidates}
    bird = int(rest[1])
    how = {"sight": "by sight", "read": "by reading", "infer": "inferred"}[deed]
    candidates = [] if deed == "sight" else [{"bird": bird, "chance": float(rest[2])}]
    return {**told, "bird": bird, "how": how, "candidates": candidates}


def standing(facts: list[Json]) -> list[Json]:
    """Strike out what was taken back, beginning with withdrawals against which nobody said anything."""
    struck: set[str] = set()
    settled: set[str] = set()
    while True:
        against = {one["corrects"] for one in facts if one["kind"] == "withdrawn" and one["id"] not in struck}
        free = [
            one for one in facts if one["kind"] == "withdrawn" and one["id"] not in struck | settled | against
        ]
        if not free:
            break
        for one in free:
            settled.add(one["id"])
            struck.add(one["corrects"])
    return [one for one in facts if one["id"] not in struck and one["kind"] != "withdrawn"]


def when(one: Json) -> datetime:
    return datetime.fromisoformat(one["at"])


class Pencil:
    """One round, followed moment by moment."""

    def __init__(self, name: str, facts: list[Json], now: datetime, zone: ZoneInfo) -> None:
        self.name, self.zone = name, zone
        self.facts = sorted(facts, key=lambda one: (when(one), TURN.get(one["kind"], 4), one["id"]))
        starts = [one for one in self.facts if one["kind"] == "round_started"]
        self.first = (starts or self.facts)[0]
        self.begun = when(self.first)
        self.is_open, self.ends, self.past = True, [], []
        self.closed_before: dict[str, bool] = {}
        self.groups: dict[str, tuple[str, str]] = {}
        self.opened_again_at: list[datetime] = []
        for one in self.facts:
            self.follow(one)
        if self.is_open and self.past and not self.alive(now):
            self.is_open, self.ends = False, self.past.pop()
            for group in self.closed_before:
                if self.groups[group][0] == "begun":
                    self.groups[group] = ("called", "")
        self.still = self.is_open and self.alive(now)

    def alive(self, at: datetime) -> bool:
        day = self.begun.astimezone(self.zone).date()
        return at.astimezone(self.zone).date() == day and at < self.begun + timedelta(hours=HOURS)

    def follow(self, one: Json) -> None:
        kind, group = one["kind"], one.get("lookalike", "")
        if kind == "count" or (kind == "sighting" and sure(one)):
            if self.groups.get(group, ("", ""))[0] != "called":
                self.groups[group] = ("begun", "")
        elif kind == "round_not_done":
            for name in [group] if group else ["", *self.groups]:
                self.groups[name] = ("not done", one["because"])
            if not group:
                self.end(one)
        elif kind == "round_closed":
            self.end(one)
            for name, (state, _) in list(self.groups.items()):
                self.groups[name] = ("called", "") if state == "begun" else self.groups[name]
        elif kind == "round_reopened" and not self.is_open and self.alive(when(one)):
            self.is_open, self.past, self.ends = True, [*self.past, self.ends], []
            self.closed_before = {n: True for n, (state, _) in self.groups.items() if state == "called"}
            for name in self.closed_before:
                self.groups[name] = ("begun", "")
            self.opened_again_at.append(when(one))

    def end(self, one: Json) -> None:
        self.ends.append(one)
        self.is_open = False

    def open_at(self, at: datetime) -> bool:
        """Whether it was open at one moment, both its first and its last included."""
        if not self.begun <= at <= self.begun + timedelta(hours=HOURS):
            return at == self.begun
        turns = [(self.begun, "opened")]
        for one in self.facts:
            whole = one["kind"] == "round_not_done" and not one.get("lookalike")
            if one["kind"] == "round_closed" or whole:
                turns.append((max(when(one), self.begun), "ended"))
        turns += [(again, "opened") for again in self.opened_again_at]
        past = sorted(turn for turn in turns if turn[0] <= at)
        on_the_spot = {what for then, what in past if then == at}
        if "opened" in on_the_spot:
            return True
        before = [what for then, what in past if then < at]
        return before[-1] == "opened" if before else False


def sure(one: Json) -> bool:
    chance = next((c["chance"] for c in one["candidates"] if c["bird"] == one["bird"]), 1.0)
    return one["how"] == "by sight" or (one["how"] == "by reading" and chance >= SURE)


def calls(facts: list[Json], now: datetime, zone: ZoneInfo) -> tuple[list[list[Pencil]], list[Json]]:
    """Rounds by roll call: any moment at which two were open on one day puts them together."""
    left = standing(facts)
    names = sorted({one["round"] for one in left if one["round"] is not None})
    rounds = [Pencil(name, [one for one in left if one["round"] == name], now, zone) for name in names]
    spots = {when(one) for one in left}
    moments = sorted(spots | {one.begun + timedelta(hours=HOURS) for one in rounds})

    def met(one: Pencil, other: Pencil) -> bool:
        same = one.begun.astimezone(zone).date() == other.begun.astimezone(zone).date()
        return same and any(one.open_at(at) and other.open_at(at) for at in moments)

    together = [{one.name} for one in rounds]
    for _ in rounds:
        for one in rounds:
            for other in rounds:
                if one is not other and met(one, other):
                    mine = next(group for group in together if one.name in group)
                    its = next(group for group in together if other.name in group)
                    if mine is not its:
                        together.remove(its)
                        mine |= its
    by_name = {one.name: one for one in rounds}
    sets = [sorted((by_name[n] for n in group), key=lambda p: (p.begun, p.name)) for group in together]
    return sorted(sets, key=lambda group: (group[0].begun, group[0].name)), left


def side_by_side(counts: list[Json]) -> dict[str, list[Json]]:
    found: dict[str, list[Json]] = {}
    for one in sorted(counts, key=lambda c: (when(c), c["id"])):
        notes = found.setdefault(one["lookalike"], [])
        if any(a["counted"] != b["counted"] for a in notes for b in notes):
            notes.clear()
        notes[:] = [note for note in notes if note["by"] != one["by"]] + [one]
    return found


def late(pencil: Pencil) -> list[str]:
    closings = [one for one in pencil.ends if one["kind"] == "round_closed"]
    names = []
    for one in pencil.facts:
        if one["kind"] == "sighting" and closings:
            both = [(one, closing) for closing in closings]
            after = [
                a["heard"] > c["heard"] if a["heard"] and c["heard"] else when(a) > when(c) for a, c in both
            ]
            if all(after):
                names.append(one["id"])
    return names


def expected(pencils: list[Pencil], roll: list[Json]) -> Json:
    """Everything that must come of one roll call."""
    facts = [one for pencil in pencils for one in pencil.facts]
    seen = sorted((one for one in facts if one["kind"] == "sighting"), key=lambda one: (when(one), one["id"]))
    observed = {one["bird"] for one in seen if one["bird"] is not None and sure(one)}
    named = {how: {one["bird"] for one in seen if one["how"] in how} - observed for how in NAMED}
    missed: dict[int, float] = {}
    for one in (one for one in seen if not sure(one)):
        for who in one["candidates"]:
            missed[who["bird"]] = missed.get(who["bird"], 1.0) * (1.0 - who["chance"])
    order = ["called", "begun", "not done"]
    groups: dict[str, list[str]] = {}
    for rank in order:
        for pencil in pencils:
            for name, (state, because) in pencil.groups.items():
                if state == rank and name not in groups:
                    groups[name] = [state, because]
    asked = {n for n, (state, _) in groups.items() if state in ("called", "begun")}
    ends = [when(pencil.ends[0]) for pencil in pencils if pencil.ends]
    phase = phase_of(pencils)
    return {
        "rounds": [pencil.name for pencil in pencils],
        "phase": phase,
        "begun": pencils[0].begun.isoformat(),
        "ended": max(ends).isoformat() if ends and phase != "open" else None,
        "groups": {name: groups[name] for name in sorted(groups)},
        "counts": {
            name: [[one["by"], one["counted"]] for one in told]
            for name, told in sorted(side_by_side([f for f in facts if f["kind"] == "count"]).items())
        },
        "in_view": in_view(facts),
        "sightings": [one["id"] for one in seen],
        "observed": sorted(observed),
        "doubtful": sorted(named["by reading", "by sight"]),
        "inferred": sorted(named["inferred",]),
        "likely": [[bird, 1.0 - missed[bird]] for bird in sorted(missed) if bird not in observed],
        "late": sorted(one for pencil in pencils for one in late(pencil)),
        "closings": [one["id"] for p in pencils for one in p.ends if one["kind"] == "round_closed"],
        "earlier": [
            one["id"] for p in pencils for ends in p.past for one in ends if one["kind"] == "round_closed"
        ],
        "seen": [one["bird"] for one in roll if one["bird"] in observed],
        "unseen": [
            one["bird"]
            for one in roll
            if one["bird"] not in observed and not one["excused"] and one["lookalike"] in asked
        ],
        "not_asked": [
            one["bird"]
            for one in roll
            if one["bird"] not in observed and (one["excused"] or one["lookalike"] not in asked)
        ],
    }


NAMED = (("by reading", "by sight"), ("inferred",))


def phase_of(pencils: list[Pencil]) -> str:
    if any(pencil.still for pencil in pencils):
        return "open"
    told = {end["kind"] for pencil in pencils for end in pencil.ends}
    return "closed" if "round_closed" in told else "not done" if told else "left open"


def in_view(facts: list[Json]) -> list[Json]:
    told = sorted((one for one in facts if one["kind"] == "group"), key=lambda one: (when(one), one["id"]))
    found: dict[str, Json] = {}
    for one in told:
        view = found.setdefault(one["group"], {"group": one["group"], "at": one["at"], "by": one["by"]})
        view.update(size=one["size"], place=one["place"], flew=view.get("flew", False) or one["flew"])
    return sorted(found.values(), key=lambda view: (view["at"], view["group"]))


def case(text: str) -> tuple[Json, list[str]]:
    name, *lines = text.strip().splitlines()
    zone = ZoneInfo(next((line[5:] for line in lines if line.startswith("zone ")), "Europe/London"))
    roll = [
        {"bird": int(word.strip("()")), "lookalike": group, "excused": word.startswith("(")}
        for line in lines
        if line.startswith("roll ")
        for group, *words in (part.split() for part in line[5:].split("|"))
        for word in words
    ]
    now = moment(next(line[4:] for line in lines if line.startswith("now ")).split(), zone)
    told = [line for line in lines if line[:1] in "+-0123456789"]
    facts = [fact(line, number, zone) for number, line in enumerate(told, 1)]
    found, _ = calls(facts, now, zone)
    opened = sorted((pencil.begun, pencil.name) for pencils in found for pencil in pencils if pencil.still)
    made = {
        "name": name,
        "zone": str(zone),
        "now": now.isoformat(),
        "roll": roll,
        "facts": facts,
        "join": opened[0][1] if opened else None,
        "calls": [expected(pencils, roll) for pencils in found],
    }
    return made, [line[2:] for line in lines if line.startswith("= ")]


def hand_agrees(made: Json, line: str) -> bool:
    """Whether one line of the hand's agrees with the replay."""
    words = line.split()
    if words[0] == "join":
        return made["join"] == (None if words[1] == "none" else words[1])
    if words[0] == "calls":
        return len(made["calls"]) == int(words[1])
    call, key, rest = made["calls"][int(words[0])], words[1], words[2:]
    if key in ("seen", "unseen", "not_asked", "observed", "doubtful", "inferred"):
        return call[key] == [int(word) for word in rest]
    if key in ("rounds", "late", "closings", "earlier"):
        return call[key] == rest
    if key in ("begun", "ended"):
        return (call[key] or "T" + rest[0])[11:16] == rest[0] if rest[0] != "none" else call[key] is None
    if key == "phase":
        return call[key] == " ".join(rest)
    if key in ("counts", "lowest", "differ"):
        return counts_agree(call["counts"][rest[0]], key, rest[1:])
    if key == "likely":
        pairs = [word.split(":") for word in rest]
        told = [[bird, round(chance, 9)] for bird, chance in call[key]]
        return told == [[int(bird), float(chance)] for bird, chance in pairs]
    if key in ("view", "views"):
        return views_agree(call["in_view"], key, rest)
    return group_agrees(call["groups"], key, rest)


def group_agrees(groups: Json, key: str, rest: list[str]) -> bool:
    if key == "because":
        return groups[rest[0]][1] == " ".join(rest[1:])
    state = groups.get(key) or groups.get("") or ["none", ""]
    return state[0] == " ".join(rest)


def counts_agree(told: list[list[int]], key: str, rest: list[str]) -> bool:
    if key == "counts":
        return [f"{INITIAL[by]}:{counted}" for by, counted in told] == rest
    numbers = [counted for _, counted in told]
    return str(min(numbers)) == rest[0] if key == "lowest" else (len(set(numbers)) > 1) == (rest[0] == "yes")


def views_agree(views: list[Json], key: str, rest: list[str]) -> bool:
    if key == "views":
        return [view["group"] for view in views] == rest
    view = next(view for view in views if view["group"] == rest[0])
    place, at, by = taken(rest, "place"), taken(rest, "at"), taken(rest, "by")
    told = (str(view["size"]), str(view["place"]), view["at"][11:16], INITIAL[view["by"]], view["flew"])
    return told == (rest[1], place, at, by, "flew" in rest)


def main() -> int:
    """Write the cases, or say that they are not up to date, or where hand and replay disagree."""
    texts = TOLD.read_text(encoding="utf-8").split("\n== ")[1:]
    made = [case(text) for text in texts]
    wrong = [(one["name"], line) for one, lines in made for line in lines if not hand_agrees(one, line)]
    for name, line in wrong:
        print(f"{name}: the hand says '{line}', the replay does not", file=sys.stderr)
    if wrong:
        return 1
    source = "Worked out by hand and by replay: scripts/make_round_cases.py, scripts/round_cases.txt"
    rules = {"stale_hours": HOURS, "doubtful_below": SURE}
    document = {"source": source, "rules": rules, "cases": [one for one, _ in made]}
    text = json.dumps(document, indent=1, ensure_ascii=False) + "\n"
    if "--check" in sys.argv:
        return int(WRITTEN.read_text(encoding="utf-8") != text)
    WRITTEN.write_text(text, encoding="utf-8")
    print(f"{len(made)} cases, {sum(len(lines) for _, lines in made)} figures worked out by hand")
    return 0


if __name__ == "__main__":
    sys.exit(main())
