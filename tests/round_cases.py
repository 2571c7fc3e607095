"""The published cases of roll calls, read as facts of the core; the phone's tests read the same file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tarsus.core.rounds import facts as told
from tarsus.core.rounds.call import OnRoll


@dataclass(frozen=True)
class Case:
    """One case: what was told, who is on the roll, and what must come of it."""

    name: str
    zone: ZoneInfo
    now: datetime
    roll: tuple[OnRoll, ...]
    facts: tuple[told.Fact, ...]
    join: str | None
    calls: list[dict[str, Any]]


def as_fact(row: dict[str, Any]) -> told.Fact:
    """A fact as a phone sends it, as a value of the core."""
    heard = row["heard"] and datetime.fromisoformat(row["heard"])
    when = {"happened_at": datetime.fromisoformat(row["at"]), "by": row["by"], "recorded_at": heard}
    base = {"id": row["id"], **when}
    if row["kind"] == "withdrawn":
        return told.Withdrawn(**base, corrects=row["corrects"])
    base["round"] = row["round"]
    match row["kind"]:
        case "round_started":
            return told.Started(**base)
        case "round_closed":
            return told.Closed(**base)
        case "round_reopened":
            return told.Reopened(**base)
        case "round_not_done":
            return told.NotDone(**base, because=row["because"], lookalike=row.get("lookalike", ""))
        case "count":
            return told.Counted(**base, lookalike=row["lookalike"], counted=row["counted"])
        case "group":
            keys = ("group", "size", "place", "flew")
            return told.Grouped(**base, **{key: row[key] for key in keys})
    candidates = tuple((one["bird"], one["chance"]) for one in row["candidates"])
    return told.Sighted(
        **base,
        lookalike=row["lookalike"],
        bird=row["bird"],
        how=row["how"] or "part reading",
        chance=dict(candidates).get(row["bird"], 1.0),
        candidates=candidates,
    )


def as_case(row: dict[str, Any]) -> Case:
    """A case of the file."""
    roll = tuple(
        OnRoll(o["bird"], o["lookalike"], "in the nest" if o["excused"] else "") for o in row["roll"]
    )
    return Case(
        row["name"],
        ZoneInfo(row["zone"]),
        datetime.fromisoformat(row["now"]),
        roll,
        tuple(as_fact(one) for one in row["facts"]),
        row["join"],
        row["calls"],
    )


def round_cases(document: dict[str, Any]) -> list[Case]:
    """Every case of the file."""
    return [as_case(row) for row in document["cases"]]
