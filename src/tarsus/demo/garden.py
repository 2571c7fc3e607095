"""Wendlebrook Bird Garden itself: its people, exhibits and drawer of bands. All of it is invented."""

from __future__ import annotations

from typing import Final

from tarsus.demo.prepared import PreparedExhibit, PreparedPerson, PreparedSeries, PreparedStock

NAME: Final = "Wendlebrook Bird Garden"
TIME_ZONE: Final = "Europe/London"
# The identifying band left for a female, right for a male: common practice; some do it the other way.
METAL_SIDE: Final = {"F": "left", "M": "right", "U": ""}

# Colours of the palette that were never ordered: what each would make room for is asked on the Flock page.
NOT_HELD: Final = ("purple", "brown", "grey")

# Which colours fade is published (light blue, orange, red: Lindsey, Wilson & Herrmann 1995); how they look
# then, and after how many years this garden's own bands do, is invented.
FADING: Final = {"red": ("#dd6b4a", 9.0), "orange": ("#f3ad66", 9.0), "pale blue": ("#c3dff1", 9.0)}

SHINGLE_AVIARY: Final = "Shingle Aviary"
HERON_WOOD: Final = "Heron Wood"
SOUTH_STRAND: Final = "South Strand"
KEA_TERRACE: Final = "Kea Terrace"
QUARANTINE: Final = "Quarantine house"


def _exhibit(name: str, purpose: str, **places: str) -> PreparedExhibit:
    """Places are given as ``north_spit="ground"``."""
    return PreparedExhibit(
        name, purpose, tuple((word.replace("_", " "), kind) for word, kind in places.items())
    )


EXHIBITS: Final = (
    _exhibit(
        SHINGLE_AVIARY,
        "display",
        north_spit="ground",
        reed_edge="ground",
        rail="perch",
        shingle_bank="ground",
        behind_the_hide="ground",
    ),
    _exhibit(
        HERON_WOOD,
        "display",
        tall_oaks="perch",
        nest_ledges="ledge",
        shallows="pool",
        feeding_lawn="ground",
        alder_stand="perch",
    ),
    _exhibit(SOUTH_STRAND, "display", beach="ground", burrows="ground", pool="pool", high_rocks="ledge"),
    _exhibit(
        KEA_TERRACE, "display", scree="ground", log_pile="perch", hut_roof="perch", night_box="night house"
    ),
    _exhibit(QUARANTINE, "quarantine", east_room="quarantine", west_room="quarantine"),
    _exhibit("Hospital", "hospital", ward="hospital"),
)

TAMSIN: Final = "tamsin"
JORY: Final = "jory"
NELL: Final = "nell"
HESPER: Final = "hesper"
ALDER: Final = "alder"
IVO: Final = "ivo"


def _person(username: str, name: str, role: str, pin: str = "") -> PreparedPerson:
    # Demo people sign in on a demo park that only this machine serves; their passwords are printed on start.
    return PreparedPerson(username, name, role, f"{username}-at-dawn", pin)


PEOPLE: Final = (
    _person(TAMSIN, "Tamsin Reedmace", "keeper", "2806"),
    _person(JORY, "Jory Millpond", "keeper", "4170"),
    _person(NELL, "Nell Dunlinfold (relief)", "keeper", "9352"),
    _person(HESPER, "Hesper Brackenfold", "lead"),
    _person(ALDER, "Dr Alder Quillwort", "vet"),
    _person(IVO, "Ivo Inkhorn", "records"),
    _person("petra", "Petra Gatelatch", "administrator"),
    _person("linnet", "Linnet Ticketbooth", "viewer"),
)

_WADER_DRAWER: Final = {
    "red": 11,
    "orange": 1,
    "yellow": 13,
    "lime": 8,
    "green": 2,
    "blue": 6,
    "pink": 7,
    "white": 9,
    "black": 12,
}
_WOOD_DRAWER: Final = {
    "orange": 10,
    "yellow": 18,
    "lime": 12,
    "green": 3,
    "pale blue": 16,
    "blue": 14,
    "white": 20,
}
_STILT_DRAWER: Final = {"orange": 6, "yellow": 9, "lime": 7, "green": 8, "blue": 6, "white": 11, "black": 9}
_RUFF_DRAWER: Final = {"red": 8, "yellow": 7, "green": 6, "blue": 9, "pink": 6, "white": 10, "black": 8}
_WING_DRAWER: Final = {"orange": 6, "blue": 8, "yellow": 5, "white": 7, "pink": 2, "green": 6}


def _drawer(size: str, kind: str, colours: dict[str, int], order_below: int) -> tuple[PreparedStock, ...]:
    return tuple(PreparedStock(kind, colour, size, number, order_below) for colour, number in colours.items())


STOCK: Final = (
    PreparedStock("metal", "", "4", 41, 10),
    PreparedStock("metal", "", "3A", 14, 10),
    PreparedStock("metal", "", "3B", 17, 10),
    PreparedStock("metal", "", "7B", 26, 10),
    *_drawer("4", "colour", _WADER_DRAWER, 5),
    *_drawer("3A", "colour", _STILT_DRAWER, 5),
    *_drawer("3B", "colour", _RUFF_DRAWER, 5),
    *_drawer("7B", "colour", _WOOD_DRAWER, 5),
    *_drawer("stretching, M", "wing", _WING_DRAWER, 4),
    PreparedStock("cable tie", "white", "2.5 mm", 60, 20),
    PreparedStock("cable tie", "orange", "2.5 mm", 35, 20),
)

METAL_SERIES: Final = (
    PreparedSeries("WB", "", 20417, 20499, "4"),
    PreparedSeries("WB", "", 31101, 31149, "3A"),
    PreparedSeries("WB", "", 40233, 40279, "3B"),
    PreparedSeries("WB", "", 72008, 72079, "7B"),
    PreparedSeries("WB", "", 81500, 81599, "7B"),
)
