"""A small piece of the invented Wendlebrook Bird Garden, with people of different rights.

Everything that has two sides is lopsided on purpose: five avocets and three ruffs, more females than males,
the metal on the left of females only, a summer hour ahead of Greenwich.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime

from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.records import models as rows

BEGUN = date(2026, 3, 1)
DAY = date(2026, 6, 11)
MORNING = datetime(2026, 6, 11, 6, 41, tzinfo=UTC)  # 07:41 at the park


@dataclass
class Actors:
    """Tilda keeps the flock, Oswin relieves her, Maren leads; Pia may only look."""

    tilda: int
    oswin: int
    maren: int
    ilse: int
    corin: int
    dunstan: int
    pia: int


@dataclass
class Wendlebrook:
    """Ids of what the small park holds, by name."""

    actors: Actors
    shingle: int
    reed: int
    north_spit: int
    south_pool: int
    reed_perch: int
    avocet: int
    ruff: int
    birds: dict[str, int] = field(default_factory=dict)
    metals: dict[str, int] = field(default_factory=dict)

    def __getitem__(self, name: str) -> int:
        return self.birds[name]


PEOPLE = (
    ("tilda", "Tilda", "keeper"),
    ("oswin", "Oswin", "keeper"),
    ("maren", "Maren", "lead"),
    ("ilse", "Ilse", "vet"),
    ("corin", "Corin", "records"),
    ("dunstan", "Dunstan", "administrator"),
    ("pia", "Pia", "viewer"),
)

# name, species, sex, metal number, colours of the other leg from the body outward
FLOCK = (
    ("Samphire", "avocet", "F", "WB 20417", ("yellow", "green")),
    ("Kelp", "avocet", "M", "WB 20418", ("yellow", "green")),
    ("Sedge", "avocet", "F", "WB 20419", ("green", "yellow")),
    ("Thrift", "avocet", "F", "WB 20420", ("red", "white")),
    ("Marram", "avocet", "M", "WB 20421", ("red", "blue")),
    ("Teasel", "ruff", "F", "WB 31001", ("orange",)),
    ("Burdock", "ruff", "M", "WB 31002", ("orange",)),
    ("Dock", "ruff", "U", "", ("lime", "white")),
)


def build() -> Wendlebrook:
    """Write the small park into an empty register, straight into its tables."""
    people = {login: rows.Person(login=login, display_name=name, role=role) for login, name, role in PEOPLE}
    for person in people.values():
        person.set_unusable_password()
        person.save()
    tilda = people["tilda"]
    rows.Park.objects.create(id=1, name="Wendlebrook Bird Garden", time_zone="Europe/London")
    colours = {
        name: rows.Colour.objects.create(name=name, hex=value, letter=LETTERS[name], order=order)
        for order, (name, value) in enumerate(BUILT_IN.colours)
    }
    shingle = rows.Exhibit.objects.create(name="Shingle Aviary", order=1)
    reed = rows.Exhibit.objects.create(name="Reed House", order=2)
    spit = rows.Place.objects.create(exhibit=shingle, name="north spit", kind="ledge", order=1)
    pool = rows.Place.objects.create(exhibit=shingle, name="south pool", kind="pool", order=2)
    perch = rows.Place.objects.create(exhibit=reed, name="long perch", kind="perch", order=1)
    avocet = rows.Species.objects.create(
        name="Pied avocet", lookalike="avocet", form="tall", sites=["left tibia", "right tibia"]
    )
    ruff = rows.Species.objects.create(
        name="Ruff", lookalike="ruff", form="legs", sites=["left leg", "right leg"], max_unseen_days=5
    )
    park = Wendlebrook(
        actors=Actors(**{login: person.pk for login, person in people.items()}),
        shingle=shingle.pk,
        reed=reed.pk,
        north_spit=spit.pk,
        south_pool=pool.pk,
        reed_perch=perch.pk,
        avocet=avocet.pk,
        ruff=ruff.pk,
    )
    for name, kind, sex, metal, stack in FLOCK:
        species = avocet if kind == "avocet" else ruff
        _bird(park, colours, tilda, shingle, (name, species, sex, metal, stack))
    return park


def _bird(
    park: Wendlebrook,
    colours: dict[str, rows.Colour],
    tilda: rows.Person,
    exhibit: rows.Exhibit,
    told: tuple[str, rows.Species, str, str, tuple[str, ...]],
) -> None:
    name, species, sex, metal, stack = told
    bird = rows.Bird.objects.create(species=species, house_name=name, recorded_by=tilda)
    park.birds[name] = bird.pk
    rows.Stay.objects.create(bird=bird, exhibit=exhibit, from_on=BEGUN, recorded_by=tilda)
    if sex != "U":
        rows.SexFinding.objects.create(
            bird=bird,
            sex=sex,
            known_by="DNA",
            recorded_by=tilda,
            happened_at=datetime(2026, 3, 1, 9, tzinfo=UTC),
        )
    part = "tibia" if species.form == "tall" else "leg"
    metal_side, other = ("right", "left") if sex == "M" else ("left", "right")
    if metal:
        band = rows.Band.objects.create(
            bird=bird,
            site=f"{metal_side} {part}",
            kind="metal",
            series="WB",
            engraving=metal,
            engraving_key=metal.replace(" ", ""),
            from_on=BEGUN,
            recorded_by=tilda,
        )
        park.metals[name] = band.pk
    for order, colour in enumerate(stack):
        rows.Band.objects.create(
            bird=bird,
            site=f"{other} {part}",
            order=order * 100,
            kind="colour",
            colour=colours[colour],
            from_on=BEGUN,
            recorded_by=tilda,
        )
