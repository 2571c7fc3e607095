"""What each line of a list tells: facts for the one door, with the day on which each happened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, time
from typing import Any, Final

from tarsus.tables.laboratory import CHROMOSOMES, NO_ANSWER, label_key
from tarsus.tables.list_cells import Cells, NotUnderstood
from tarsus.tables.list_said import REASON, Said, sighting_key
from tarsus.tables.round_lines import round_said
from tarsus.tables.vocabulary import UnclearWord, read_known_by, read_sex

_BANDS: Final = ("metal", "closed", "colour", "cable tie", "wing", "flipper")
_SIGHTED: Final = ("by sight", "by reading", "inferred")


def line_said(kind: str, cells: Cells) -> Said:
    """What one line says.

    Raises:
        NotUnderstood: a cell that cannot be taken.
    """
    return _READERS[kind](cells)


def _weights(cells: Cells) -> Said:
    bird, (at, when) = cells.bird(), cells.moment()
    grams, where = cells.grams("weight"), cells.word("where", ("in hand", "perch scale"))
    fact: dict[str, Any] = {
        "kind": "weighed",
        "at": at,
        "bird": bird.bird_id,
        "weight_g": grams,
        "where": where,
    }
    if scale := cells.text("scale"):
        fact["scale"] = scale
    if (fed := cells.flag("fed")) is not None:
        fact["fed"] = fed
    key = (bird.bird_id, when, grams, where, scale)
    return Said(bird.name or bird.number, f"{when}: {grams:g} g, {where}", key, (fact,))


def _sightings(cells: Cells) -> Said:
    bird, (at, when) = cells.bird(), cells.moment()
    how = cells.row.as_mapping().get("how", "by sight")
    if how in _SIGHTED[1:] or how == "part reading":
        raise NotUnderstood(
            *("how", how, "tells of a reading, which a list cannot hold"),
            "read the whole export (JSON) into an empty register",
        )
    if cells.text("exhibit"):
        exhibit = cells.named("exhibit", cells.known.exhibits, "exhibit")
    else:
        lived = bird.exhibit_on(at.astimezone(cells.known.zone).date())
        if lived is None:
            raise NotUnderstood("exhibit", "", "is not said, and the bird lived in none that day", "name it")
        exhibit = lived
    fact: dict[str, Any] = {"kind": "sighting", "at": at, "exhibit": exhibit, "bird": bird.bird_id}
    fact["how"] = "by sight"
    words = f"seen {when}"
    if text := cells.text("place"):
        here = {name: key for (home, name), key in cells.known.places.items() if home == exhibit}
        fact["place"] = cells.named("place", here, "place of this exhibit")
        words += f", {text}"
    key = sighting_key(bird.bird_id, when, exhibit, fact.get("place"))
    return Said(bird.name or bird.number, words, key, (fact,))


def _results(cells: Cells) -> Said:
    label = cells.text("sample")
    test: str | None = None
    if label:
        found = cells.known.samples.get(label_key(label))
        if found is None:
            raise NotUnderstood(
                *("sample", label, "is no sample of this register"),
                "write the number on the tube, or name the bird instead",
            )
        test, bird = found[0], cells.known.bird_by_id(found[1])
    else:
        bird = cells.bird()
    at, when = cells.moment()
    sex, by = _sex(cells), _known_by(cells)
    key = (bird.bird_id, when, sex, by, test)
    if sex == "U":
        if test is None:
            raise NotUnderstood("sex", cells.text("sex"), "is no result", "leave the line out")
        unanswered = {"kind": "sample_unanswered", "at": at, "test": test}
        return Said(bird.name or bird.number, f"{when}: no answer", key, (unanswered,))
    fact = {"kind": "sex_finding", "at": at, "bird": bird.bird_id, "sex": sex, "known_by": by}
    if test is not None:
        fact["test"] = test
    return Said(bird.name or bird.number, f"{when}: {sex}, {by}", key, (fact,))


def _sex(cells: Cells) -> str:
    text = cells.text("sex")
    word = " ".join(text.casefold().split())
    if word in NO_ANSWER:
        return "U"
    try:
        return CHROMOSOMES.get(word) or read_sex(text)
    except UnclearWord as reason:
        raise NotUnderstood("sex", text, reason.reason, reason.remedy, ("F", "M")) from None


def _known_by(cells: Cells) -> str:
    text = cells.needed("known by")
    try:
        return read_known_by(text)
    except UnclearWord as reason:
        raise NotUnderstood("known by", text, reason.reason, reason.remedy, ("DNA", "endoscopy")) from None


def _series(cells: Cells) -> Said:
    series, prefix, size = cells.needed("series"), cells.text("prefix"), cells.needed("size")
    first, last = cells.whole("first"), cells.whole("last")
    if last < first:
        raise NotUnderstood("last", str(last), f"comes before the first, {first}", "write the last number")
    at = datetime.combine(cells.known.today, time(0), cells.known.zone)
    fact = {
        "kind": "metal_series_added",
        "at": at,
        "series": series,
        "first": first,
        "last": last,
        "size": size,
    }
    if prefix:
        fact["prefix"] = prefix
    words = f"{prefix}{first} to {prefix}{last}, size {size}"
    return Said(series, words, (series, prefix, first, last, size), (fact,))


def _stock(cells: Cells) -> Said:
    at, when = cells.moment()
    colour = cells.colour()
    what = cells.word("what", _BANDS)
    size, amount = cells.needed("size"), cells.whole("amount")
    if what == "colour" and not colour:
        raise NotUnderstood("colour", "", "is empty", "say which colour these bands have")
    colour = colour if what not in ("metal", "closed") else ""
    drawer = cells.known.drawers.get((what, colour, size))
    if drawer is None:
        fact: dict[str, Any] = {"kind": "stock_changed", "at": at, "what": what, "size": size}
        fact |= {"by_amount": amount, "because": f"counted, {REASON}"} | (
            {"colour": colour} if colour else {}
        )
    else:
        fact = {"kind": "stock_counted", "at": at, "stock": drawer, "counted": amount}
    called = " ".join(part for part in (colour, what if what != "colour" else "bands", size) if part)
    changed = cells.known.changed.get(drawer or 0)
    # A count of a day stands for the whole day, lest one of this morning be refused for its own hour.
    until = at if ":" in when else datetime.combine(at.date(), time.max, cells.known.zone)
    overtaken = changed is not None and changed > until
    return Said(called, f"{when}: {amount}", (what, colour, size, amount, when), (fact,), overtaken)


def _nests(cells: Cells) -> Said:
    name, begun, ended = cells.needed("nest"), cells.day("begun"), cells.optional_day("ended")
    exhibit = cells.named("exhibit", cells.known.exhibits, "exhibit")
    species = cells.named("species", cells.known.species, "species")

    def at(day: Any) -> datetime:
        return datetime.combine(day, time(12), cells.known.zone)

    begin: dict[str, Any] = {"kind": "nest_begun", "at": at(begun), "exhibit": exhibit, "name": name}
    # Over or not: while a nest lasts nobody catches there, until somebody says otherwise.
    begin |= {"species": species, "forbids_chase": True}
    if cells.text("place"):
        here = {spot: key for (home, spot), key in cells.known.places.items() if home == exhibit}
        begin["place"] = cells.named("place", here, "place of this exhibit")
    facts, words = [begin], [f"begun {begun}"]
    for field, event, days in (
        ("eggs", "eggs", ("begun",)),
        ("hatched", "hatched", ("hatched on",)),
        ("fledged", "fledged", ("fledged on", "ended")),
    ):
        # None hatched is nothing that happened on a day; no eggs is what somebody found.
        if not cells.text(field) or (event != "eggs" and cells.whole(field) == 0):
            continue
        day = next((found for one in days if (found := cells.optional_day(one)) is not None), None)
        if day is None:
            raise NotUnderstood(days[0], "", f"is empty, and {event} are counted", "say on which day")
        amount = cells.whole(field)
        facts.append({"kind": "nest_event", "at": at(day), "event": event, "amount": amount})
        words.append(f"{amount} {event}")
    if ended is not None:
        facts.append({"kind": "nest_ended", "at": at(ended)})
        words.append(f"over {ended}")
    key = (name, exhibit, species, str(begun))
    return Said(name, ", ".join(words), key, tuple(facts))


_READERS: Final[Mapping[str, Callable[[Cells], Said]]] = {
    "weights": _weights,
    "sightings": _sightings,
    "rounds": round_said,
    "results": _results,
    "series": _series,
    "stock": _stock,
    "nests": _nests,
}
