"""What programs ask of the marking desk and of birds that come.

The desk reckons with the drawer, which is the whole park's, and with birds of other exhibits that newcomers
will join: a device asks of it that may ask of every exhibit.
"""

from __future__ import annotations

from typing import Annotated, Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Query, Router

from tarsus.api.access import EITHER, asker_of, asker_of_exhibit
from tarsus.api.flock_routes import Lookalike
from tarsus.api.marking_schemas import ArrivalsOut, ChangesOut, DeskOut, FlockToMarkOut, WishIn, WishOut
from tarsus.api.paging import Asked, Page, RowId, page_of
from tarsus.api.routes import REFUSED
from tarsus.core.deeds.fields import LARGEST_ID
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import KEEPER, RECORDS
from tarsus.core.documents.fields import parse_marks
from tarsus.core.errors import WrongValue
from tarsus.core.marks.palette import Palette
from tarsus.queries.joining import joinings, shipments
from tarsus.queries.marking import marking_desk
from tarsus.queries.marking_list import flocks_to_mark
from tarsus.queries.marking_wish import fewest_changes, wish_for
from tarsus.queries.park import park_face

MOST_BIRDS = 50
"""So many birds a desk is asked about at once."""
Chosen = Annotated[list[int] | None, Query(max_length=MOST_BIRDS)]
router = Router(auth=EITHER, tags=["Marking"])


def _at_the_desk(request: HttpRequest, exhibit_id: int | None = None) -> None:
    """Let whoever may keep marks pass, of the whole park."""
    roles = DEEDS["marks_kept"].who_may
    asker_of(request).of_park(*roles)
    if exhibit_id is not None:
        asker_of_exhibit(request, exhibit_id, *roles)


@router.get(
    "/marking-desk",
    response={200: Page[FlockToMarkOut], **REFUSED},
    summary="Flocks that wear bands, those with birds to mark first",
)
def desks(request: HttpRequest, part: Asked) -> dict[str, Any]:
    _at_the_desk(request)
    return page_of(request, flocks_to_mark(timezone.now()), part)


@router.get(
    "/exhibits/{exhibit_id}/flocks/{lookalike}/marking-desk",
    response={200: DeskOut, **REFUSED},
    summary="Marks proposed for the birds of a flock, or for those that `bird` names",
)
def desk(request: HttpRequest, exhibit_id: RowId, lookalike: Lookalike, bird: Chosen = None) -> Any:
    _at_the_desk(request, exhibit_id)
    if bird and not all(1 <= one <= LARGEST_ID for one in bird):
        raise WrongValue("bird", f"must be numbers of birds, from 1 to {LARGEST_ID}")
    return marking_desk(exhibit_id, lookalike, timezone.now(), set(bird) if bird else None)


@router.get(
    "/exhibits/{exhibit_id}/flocks/{lookalike}/marking-desk/changes",
    response={200: ChangesOut, **REFUSED},
    summary="The fewest birds to re-band so that every two are told apart",
)
def changes(request: HttpRequest, exhibit_id: RowId, lookalike: Lookalike) -> Any:
    _at_the_desk(request, exhibit_id)
    return fewest_changes(exhibit_id, lookalike, timezone.now())


@router.post(
    "/exhibits/{exhibit_id}/flocks/{lookalike}/marking-desk/wish",
    response={200: WishOut, **REFUSED},
    summary="Judge marks that somebody wishes for a bird",
)
def wish(request: HttpRequest, exhibit_id: RowId, lookalike: Lookalike, asked: WishIn) -> Any:
    _at_the_desk(request, exhibit_id)
    marks = parse_marks(asked.marks, "marks", Palette.of(park_face().palette))
    if not any(bands for _, bands in marks.sites):
        raise WrongValue("marks", "has no bands; name some, such as lime and orange on the right leg")
    return wish_for(exhibit_id, lookalike, asked.bird, marks, timezone.now())


@router.get(
    "/arrivals",
    response={200: ArrivalsOut, **REFUSED},
    summary="Birds that came, and the fewest changes before newcomers join their flock",
)
def arrivals(request: HttpRequest) -> dict[str, Any]:
    asker_of(request).of_park(KEEPER, RECORDS)
    now = timezone.now()
    return {"shipments": shipments(now), "joinings": joinings(now)}
