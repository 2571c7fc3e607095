"""Every page and every state of the live pages, opened one after the other, for tests that look at all."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from itertools import islice, product
from typing import Any

from browser.keeper import Keeper

ROLL_CALL = "/exhibits/{shingle}/roll-call/"
LIVE = (
    *(
        f"{ROLL_CALL}#{state}"
        for state in (
            "count",
            "tiles",
            "read",
            "colours",
            "rail",
            "concern",
            "close",
            "second-look",
            "not-done",
            "set",
            "ticks",
            "mend",
            "place",
        )
    ),
    "/who/",
    "/who/#name",
    "/who/#band",
    "/who/#pair-{bird}-{beside}",
    "/tell/",
    "/tell/#deed=moved&exhibit={shingle}",
    "/tell/#deed=death&bird={bird}",
    "/tell/#deed=band_found&exhibit={shingle}",
    "/in-hand/",
    "/in-hand/#bird-{bird}",
)
PAGES = (
    "/",
    "/exhibits/",
    "/exhibits/{shingle}/",
    "/roll-call/",
    "/flocks/",
    "/flocks/{shingle}/avocet/",
    "/flocks/{shingle}/avocet/days/",
    "/flocks/{shingle}/avocet/pair/{bird}/{beside}/",
    "/birds/{bird}/",
    "/find/?q=a",
    "/stock/",
    "/deeds/",
    "/deeds/band_on/?bird={bird}",
    "/deeds/moved/?came={bird}",
    "/deeds/death/?bird={bird}&exhibit={shingle}",
    "/catch-up/",
    "/catch-up/{shingle}/",
    "/nests/",
    "/nests/{shingle}/",
    "/arrivals/",
    "/arrivals/new/",
    "/samples/",
    "/months/",
    "/months/{month}/",
    "/marking-desk/",
    "/marking-desk/{shingle}/avocet/",
    "/more/",
    "/waiting/",
    "/on-this-phone/",
    "/drawing/",
    "/import/",
    "/settings/",
    "/settings/park/",
    "/settings/colours/",
    "/settings/colours/new/",
    "/settings/species/",
    "/settings/species/new/",
    "/settings/species/{species}/",
    "/settings/species/{species}/rule/",
    "/settings/exhibits/",
    "/settings/exhibits/new/",
    "/settings/exhibits/{shingle}/",
    "/settings/exhibits/{shingle}/places/new/",
    "/settings/people/",
    "/settings/people/new/",
    "/settings/people/{person}/",
    "/settings/people/{person}/password/",
    "/settings/password/",
    "/settings/devices/",
    "/settings/eyes/",
    "/settings/eyes/learned/",
    "/settings/mail/",
    "/settings/sound/",
    "/since/",
    *LIVE,
)
OF_THE_VET = ("/settings/species/{species}/limits/",)
# What the last thing on a live page is, so that a walk does not look at a page that is still opening.
DRAWN = {
    "/roll-call/#": "#main section",
    "/who/": "#main section",
    "/tell/": "#main form, #main .more-list",
    "/in-hand/": "#hand-typed, #hand-number",
}


def addresses(one: Keeper, pages: Iterable[str] = PAGES) -> list[str]:
    """The pages of this park: of its first exhibit, a bird, a species, a person, the month before."""
    from tarsus.records import models as rows

    if not one.park.birds:
        return [page for page in pages if "{" not in page]
    first = one.park.today.replace(day=1)
    named = {
        "shingle": one.park.exhibits["Shingle Aviary"],
        "bird": one.park.birds["Sedge"],
        "beside": one.park.birds["Chert"],
        "species": rows.Species.objects.get(lookalike="avocet").pk,
        "person": one.park.people["tamsin"],
        "colour": rows.Colour.objects.order_by("id")[0].pk,
        "place": rows.Place.objects.filter(exhibit_id=one.park.exhibits["Shingle Aviary"])
        .order_by("id")[0]
        .pk,
        "month": f"{first.year - (first.month == 1)}-{(first.month - 2) % 12 + 1:02}",
    }
    return [page.format(**named) for page in pages]


def open_page(one: Keeper, address: str) -> None:
    """Open one page and wait until it is drawn."""
    one.page.goto("about:blank")  # or a new state of the same address would not be opened anew
    answer = one.page.goto(address)
    assert answer is not None
    assert answer.status == 200, f"{address}: {answer.status}"
    one.page.wait_for_function("() => !document.querySelector(':not(:defined)')")
    for part, selector in DRAWN.items():
        if part in address:
            one.page.wait_for_selector(selector)


def begin_roll_call(one: Keeper) -> None:
    """A roll call in which something was told, so that its states have something to show."""
    one.call_roll()
    one.count(28)
    one.see("Marram")


WORD = "Regenpfeifervoliereneingangsbeobachtungshüttenschlüssel"


def give_long_names(letters: int = 60) -> None:
    """Names of sixty letters, most of them in one compound that has no place to break."""
    from tarsus.records import models as rows

    for kind, field in (
        (rows.Bird, "house_name"),
        (rows.Exhibit, "name"),
        (rows.Place, "name"),
        (rows.Person, "display_name"),
        (rows.Species, "name"),
    ):
        for row in kind.objects.all():  # type: ignore[attr-defined]  # one of several models
            name = f"{getattr(row, field)} {WORD}"[:letters]
            kind.objects.filter(pk=row.pk).update(**{field: name})  # type: ignore[attr-defined]  # as above


def bring_avocets(park: Any, number: int) -> None:
    """So many avocets more in Shingle Aviary, each with two colours a leg."""
    from tarsus.records import models as rows

    colours = {colour.name: colour for colour in rows.Colour.objects.all()}
    told = {"recorded_by_id": park.people["hesper"]}
    species, since = rows.Species.objects.get(lookalike="avocet"), park.today - timedelta(days=60)
    worn = islice(product(("red", "yellow", "lime", "blue", "white", "black"), repeat=4), number)
    for at, marks in enumerate(worn):
        bird = rows.Bird.objects.create(species=species, house_name=f"Avocet {at + 1}", **told)
        rows.Stay.objects.create(bird=bird, exhibit_id=park.exhibits["Shingle Aviary"], from_on=since, **told)
        for place, colour in enumerate(marks):
            rows.Band.objects.create(
                bird=bird,
                site=("left tibia", "right tibia")[place // 2],
                order=place % 2,
                kind="colour",
                colour=colours[colour],
                from_on=since,
                **told,
            )
