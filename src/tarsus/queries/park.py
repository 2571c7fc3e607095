"""What every page says of the park: its name, its clock, its colours and their letters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from django.db.models import Exists

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.palette import BUILT_IN, LETTERS, METAL_LETTER
from tarsus.paper.bands import ColourOnPaper
from tarsus.queries.once import once
from tarsus.records.models import Bird, Colour, Park

DEFAULT_ZONE: Final = "UTC"


@dataclass(frozen=True)
class ParkFace:
    """The park as its pages show it. `name` is empty until somebody has named it.

    `faded`: how colours look when old, of those where somebody entered it. `invented` says that it is the
    demo's, whose birds are nobody's; `begun`, that a bird is in the register. `office_second_step`: it
    wants a second step of signing in of administrator, vet and records. `desk_idle_minutes`: after how many a
    session at a desk ends that nobody uses; 0 where none does.
    """

    name: str
    time_zone: str
    palette: dict[str, str]
    letters: dict[str, str]
    faded: dict[str, str]
    invented: bool = False
    begun: bool = False
    office_second_step: bool = False
    desk_idle_minutes: int = 0

    @property
    def on_paper(self) -> str:
        """Its name where it is printed, away from any page that would say what it is."""
        return f"{self.name} (invented)" if self.invented else self.name


@once
def park_face() -> ParkFace:
    """The park's name, time zone, and the colours and letters its bands are drawn with.

    Returns:
        The built-in palette with the published letters until the park has entered its own colours.
    """
    rows = Park.objects.annotate(begun=Exists(Bird.objects.all()))
    beside = ("invented", "begun", "office_second_step", "desk_idle_minutes")
    park = rows.values("name", "time_zone", "metal_letter", *beside).first()
    colours = list(Colour.objects.order_by("order", "id").values_list("name", "hex", "letter", "faded_hex"))
    letters = {name: letter for name, _, letter, _ in colours} or dict(LETTERS)
    palette = {name: value for name, value, _, _ in colours} or BUILT_IN.as_mapping()
    faded = {name: old for name, _, _, old in colours if old}
    if park is None:
        return ParkFace("", DEFAULT_ZONE, palette, {**letters, METAL: METAL_LETTER}, faded)
    letters = {**letters, METAL: park["metal_letter"]}
    told = (park["name"], park["time_zone"], palette, letters, faded)
    return ParkFace(*told, **{key: park[key] for key in beside})


def colours_worn(face: ParkFace, marks: Iterable[Marks]) -> dict[str, ColourOnPaper]:
    """The colours that any of these marks have, in the park's order, as papers write them.

    Args:
        face: the park.
        marks: what is drawn on the paper.
    """
    worn = {word for one in marks for _, bands in one.sites for word in bands}
    return {
        name: ColourOnPaper(face.letters[name], value) for name, value in face.palette.items() if name in worn
    }
