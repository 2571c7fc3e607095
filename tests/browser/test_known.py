"""Known: a green band on the floor, mates and who is left, what a bird is known by, finding it anywhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import Keeper
from tarsus.records.models import (
    Band,
    BandFound,
    BandOwnerNamed,
    NaturalMark,
    Pair,
    Stock,
    StockChange,
    Transponder,
)


def write(hand: Keeper) -> None:
    hand.page.click("#main .sends [type=submit]")
    hand.page.wait_for_selector("#main .told-you")


def test_a_green_band_on_the_floor(keeper: Callable[..., Keeper], wendlebrook: Any) -> None:
    before = set(BandFound.objects.values_list("pk", flat=True))
    hand = keeper("tamsin")
    hand.page.click("nav >> text=Who is it?")
    hand.page.wait_for_selector("#main .leg-first")
    hand.tap("text=Found band")
    hand.tap("[data-act=loose][data-band=green]")
    hand.page.select_option("#loose-exhibit", label="Shingle Aviary")
    hand.page.fill("#loose-note", "under the gull perch")
    hand.tap("[data-act=loose-keep]")
    hand.page.wait_for_selector("#main >> text=Its owner stays open")
    hand.wait_until_sent()
    found = BandFound.objects.exclude(pk__in=before).get()
    green = Band.objects.filter(colour__name="green", to_on__isnull=True, from_on__lte=found.happened_at)
    wearer = green.filter(bird__stays__exhibit=found.exhibit_id, bird__stays__to_on__isnull=True).first()
    assert wearer is not None
    # Today says who wears one; whoever knows says whose it was, and why.
    hand.page.goto("/")
    line = hand.page.locator("#main li:has-text('under the gull perch')")
    line.locator("summary").first.click()
    assert "Nobody is taken for dead" in line.inner_text()
    line.locator("a[href*='band_owner_named']").first.click()
    hand.page.wait_for_load_state()  # all that is offered is read
    offered = hand.page.locator("#main select[name=band] option").all_inner_texts()
    assert any(one.startswith(f"{wearer.bird}: ") for one in offered), offered
    hand.page.select_option("#main select[name=band]", str(wearer.pk))
    hand.page.fill("#main [name=because]", "read without it this morning")
    write(hand)
    named = BandOwnerNamed.objects.get(found=found)
    wearer.refresh_from_db()
    assert (named.band_id, named.recorded_by.login, wearer.why_off) == (wearer.pk, "tamsin", "lost")
    hand.page.goto("/")
    assert hand.page.locator("#main li:has-text('under the gull perch')").count() == 0
    # It was another bird's after all: put right where it shows, and the bird wears it on.
    hand.page.goto(f"/birds/{wearer.bird_id}/")
    hand.page.click("li:has-text('read without it this morning') >> a.put-right")
    hand.page.click("#main >> text=It never happened")
    hand.page.fill("#main [name=because]", "the neighbour's")
    write(hand)
    wearer.refresh_from_db()
    assert (wearer.to_on, wearer.why_off) == (None, "")


def test_mates_are_formed_and_a_death_widows_by_itself(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    pair = Pair.objects.filter(to_on__isnull=True).select_related("first", "second").first()
    assert pair is not None
    hand = keeper("tamsin")
    hand.page.goto(f"/find/?q={pair.first}")
    assert f"/birds/{pair.first_id}/" in hand.page.url
    assert f"{pair.second}" in hand.page.inner_text(".facts")
    hand.page.goto(f"/deeds/death/?bird={pair.second_id}&exhibit={wendlebrook.exhibits['Shingle Aviary']}")
    hand.page.click("#main .sends [type=submit]")
    write(hand)
    hand.page.goto(f"/birds/{pair.first_id}/")
    assert "widowed" in hand.page.inner_text(".facts")
    assert f"Widowed: {pair.second} died." in hand.page.inner_text("#main")
    other = next(
        bird
        for name, bird in wendlebrook.birds.items()
        if bird not in (pair.first_id, pair.second_id) and name in ("Osier", "Marl", "Shale")
    )
    hand.page.click("text=All that can be recorded")
    hand.page.click("#main .deeds a:has-text('A pair')")
    hand.page.select_option("#main select[name=other]", str(other))
    write(hand)
    assert Pair.objects.filter(
        first_id=min(pair.first_id, other), second_id=max(pair.first_id, other), to_on__isnull=True
    ).exists()


def test_what_a_bird_is_known_by_is_written_reviewed_and_found_from_every_page(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    osier = wendlebrook.birds["Osier"]
    lead = keeper("hesper")
    lead.page.goto(f"/deeds/transponder_given/?bird={osier}&next=/birds/{osier}/")
    lead.page.fill("#main [name=number]", "999 000 1234 567 89")
    write(lead)
    assert Transponder.objects.get(number="999000123456789").bird_id == osier
    lead.page.goto(f"/deeds/natural_mark/?bird={osier}&next=/birds/{osier}/")
    lead.page.fill("#main [name=text]", "nick in the bill")
    write(lead)
    lead.page.click("section:has(#nm) .settles a")
    lead.page.uncheck("#main [name=still_there]")
    write(lead)
    assert NaturalMark.objects.get(bird=osier).to_on is not None
    # Found by a part of its name, its transponder, its metal number; from the phone's own pages too.
    hand = keeper("tamsin")
    metal = Band.objects.filter(kind="metal", to_on__isnull=True).exclude(engraving="").first()
    assert metal is not None
    call = f"/exhibits/{wendlebrook.exhibits['Shingle Aviary']}/roll-call/"
    pages = ("/", "/who/", "/in-hand/", "/exhibits/", call)
    for page in pages:
        hand.page.goto("about:blank")
        hand.page.goto(page)
        hand.page.click("header .finder")
        hand.page.wait_for_url("**/find/**")
    for sought, bird in (
        ("osie", osier),
        ("0001234567", osier),
        (metal.engraving[-5:], metal.bird_id),
        (metal.engraving.lower(), metal.bird_id),
    ):
        hand.page.goto("/find/")
        hand.page.fill("#q", sought)
        hand.page.press("#q", "Enter")
        hand.page.wait_for_url(f"**/birds/{bird}/")


def test_a_delivery_a_count_and_a_wrong_line_put_right(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    lead = keeper("hesper")
    lead.page.goto("/")
    assert lead.page.locator("#main h4:has-text('Order bands')").count() == 1, "one line for all orders"
    lead.page.goto("/stock/")
    assert "orange" in lead.page.inner_text(".order-line")
    drawer = Stock.objects.get(kind="colour", colour__name="orange", size="4")
    row = lead.page.locator("#main li.stock-row:has(h3:has-text('orange')):has-text('size 4')").first
    row.locator("a[href*='stock_changed']").click()
    lead.page.fill("#main [name=by_amount]", "500")
    write(lead)
    lead.page.click("#main section:has(h2:text-is('Came and went')) li:first-child .put-right")
    lead.page.fill("#main [name=by_amount]", "50")
    lead.page.fill("#main [name=why_corrected]", "a nought too many")
    write(lead)
    drawer.refresh_from_db()
    assert drawer.amount == 51
    lead.page.wait_for_selector("#main >> text=a nought too many")
    lead.page.goto(f"/deeds/stock_counted/?stock={drawer.pk}&next=/stock/")
    lead.page.fill("#main [name=counted]", "48")
    write(lead)
    drawer.refresh_from_db()
    assert drawer.amount == 48
    assert list(
        StockChange.objects.filter(stock=drawer).order_by("pk").values_list("by_amount", flat=True)
    ) == [500, -500, 50, -3]
