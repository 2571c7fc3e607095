"""The paper sheet's ticks typed in afterwards, and *Who is it?* asked across the exhibits."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.utils import timezone

from browser.keeper import Keeper
from browser.measures import Worked
from tarsus.queries.rounds import roll_call
from tarsus.records.models import BandFound, Bird, Report, Round, Sighting, Species

WORKED_MS_A_BIRD = 500

READ = """(bands) => bands.every((band) =>
    document.querySelector('#main [data-k=figure]')?.getAttribute('marks').includes(band))"""


def test_ten_ticks_of_a_paper_sheet_are_typed_in_at_once(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("jory")
    hand.call_roll(state="ticks")
    hand.tap("text=typing in")
    names = ["Samphire", "Fennel", "Pebble", "Marl", "Shale", "Rowan", "Spindle", "Hazel", "Whelk", "Kelp"]
    hand.page.wait_for_selector("#ticks-name")
    worked = Worked(hand.page)
    before = worked.ms()
    for name in names[:5]:
        hand.page.keyboard.press("Escape")
        hand.page.fill("#ticks-name", name[:4].lower())
        hand.page.press("#ticks-name", "Enter")
        hand.page.wait_for_selector(f"#main .tickname.is-seen[data-bird='{wendlebrook.birds[name]}']")
    for name in names[5:]:
        hand.tap(f".tickname[data-bird='{wendlebrook.birds[name]}']")
        hand.page.wait_for_selector(f"#main .tickname.is-seen[data-bird='{wendlebrook.birds[name]}']")
    assert worked.ms() - before <= 10 * WORKED_MS_A_BIRD, "ten in fifteen seconds, the fingers the slowest"
    hand.page.fill("#ticks-count", "28")
    hand.tap("text=Close that round")
    hand.page.wait_for_selector("section[data-k=at-closed]")
    hand.wait_until_sent()
    newest = Round.objects.order_by("-started__recorded_at").values_list("pk", flat=True).first()
    assert newest is not None
    call = roll_call(newest, timezone.now())
    assert call.phase == "closed"
    assert call.observed == {wendlebrook.birds[name] for name in names}
    assert {seen.how for seen in call.sightings} == {"by sight"}
    assert [counts.lowest.counted for counts in call.counts.values()] == [28]
    # It happened an hour ago, as the sheet says, and not when it was typed in.
    ago = timezone.now() - call.rounds[0].begun_at
    assert timedelta(minutes=55) < ago < timedelta(minutes=65)


def test_what_a_visitor_told_is_a_report_and_no_sighting(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.page.goto("/who/")
    hand.tap("[data-act=leg-first][data-value=unclear]")
    hand.page.wait_for_selector("#main .keys")
    hand.tap("[data-band=orange]")
    hand.tap("[data-band=blue]")
    # The two likeliest side by side, and back to what was read.
    hand.tap("[data-k=pair]")
    hand.page.wait_for_selector("#main .tells li")
    assert hand.page.locator("#main .pair-eyes").count() == 4
    hand.tap("a[href='#read']")
    hand.tap("text=visitor report")
    hand.tap(f".read-tiles {hand.tile('Whelk')}")
    hand.page.fill("#report", "a visitor, on the service road at two")
    hand.tap("[data-act=report]")
    hand.page.wait_for_selector("#main >> text=Report saved")
    hand.wait_until_sent()
    report = Report.objects.get(device__gt="")
    assert not Sighting.objects.filter(device__gt="").exists()
    assert (report.said, report.told_by) == ("a visitor, on the service road at two", "a visitor")
    assert {one["bird"] for one in report.candidates} >= {wendlebrook.birds["Whelk"]}
    assert wendlebrook.birds["Whelk"] in report.birds.values_list("bird_id", flat=True)
    hand.page.goto("/")
    assert "Visitor report: a visitor, on the service road at two" in hand.page.inner_text("main")


def test_the_light_and_the_mud_that_are_said_once_weigh_every_reading(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.page.goto("/who/")
    hand.tap("[data-act=leg-first][data-value=left]")
    hand.page.wait_for_selector("#main .keys")
    hand.tap("[data-band=orange]")
    hand.tap("[data-band=blue]")

    hand.page.wait_for_function(READ, arg=["orange", "blue"])

    def likeliest() -> int:
        return int(hand.page.inner_text("#main .read-tiles .tile >> nth=0 >> .pct").split()[0])

    bright = likeliest()
    hand.tap("[data-k=light-dusk]")
    hand.page.wait_for_selector("#main [data-k=light-dusk][aria-pressed=true]")
    hand.tap("[data-k=light-mud]")
    hand.page.wait_for_selector("#main [data-k=light-mud][aria-pressed=true]")
    assert likeliest() < bright
    # It is the light of the day and not of the bird; a visitor saw theirs in another.
    hand.tap("[data-act=clear]")
    hand.tap("[data-act=leg-first][data-value=left]")
    hand.page.wait_for_selector("#main [data-k=light-dusk][aria-pressed=true]")
    hand.tap("text=visitor report")
    hand.page.wait_for_selector("#main [data-k=light]", state="detached")


def test_who_is_it_takes_the_light_that_was_said_in_the_roll_call_that_is_open_there(
    keeper: Callable[..., Keeper],
) -> None:
    hand = keeper("tamsin")
    hand.call_roll()
    hand.tap("[data-k=light-dusk]")
    hand.page.wait_for_selector("#main [data-k=light-dusk][aria-pressed=true]")
    hand.page.goto("/who/")
    dusk = "#main [data-k=light-dusk]"
    hand.tap("[data-act=leg-first][data-value=left]")
    hand.page.wait_for_selector(f"{dusk}[aria-pressed=false]")
    hand.tap(".exhibits-row >> text=Shingle Aviary")
    hand.page.wait_for_selector(f"{dusk}[aria-pressed=true]")
    assert "as in the roll call" in hand.page.inner_text("#main [data-k=lit]")
    # What is said here goes before what was said there.
    hand.tap("[data-k=light-dusk]")
    hand.page.wait_for_selector(f"{dusk}[aria-pressed=false]")
    assert "roll call" not in hand.page.inner_text("#main [data-k=lit]")


def test_a_plumage_is_asked_for_where_the_vet_said_when_a_bird_is_grown_and_kept_with_the_reading(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    Bird.objects.filter(pk=wendlebrook.birds["Whelk"]).update(
        hatched_on=timezone.now().date() - timedelta(days=60)
    )
    Species.objects.update(grown_plumage_at_days=400)
    hand = keeper("tamsin")
    hand.page.goto("/who/")
    hand.tap("[data-act=leg-first][data-value=unclear]")
    hand.page.wait_for_selector("#main .keys")
    hand.tap("[data-band=orange]")
    hand.tap("[data-k=plumage-grown]")
    hand.page.wait_for_selector("#main [data-k=plumage-grown][aria-pressed=true]")
    hand.tap("[data-k=plumage-young]")
    hand.page.wait_for_selector("#main [data-k=plumage-young][aria-pressed=true]")
    assert "Whelk" in hand.page.inner_text("#main .read-tiles .tile >> nth=0")
    hand.tap("[data-band=blue]")
    hand.tap(f".read-tiles {hand.tile('Whelk')}")
    hand.tap("[data-k=p-none]")
    hand.page.wait_for_selector("#main .notice >> text=Whelk seen")
    hand.wait_until_sent()
    seen = Sighting.objects.filter(device__gt="").get()
    assert seen.reading is not None
    assert seen.reading["plumage"] == "young"


def test_a_loose_band_is_kept_and_nobody_is_taken_for_dead(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.page.goto("/who/#band")
    hand.tap("[data-act=loose][data-band=green]")
    hand.page.wait_for_selector("#main >> text=Nobody is taken for dead.")
    assert hand.page.locator("#main .lookfor li").count() >= 3
    hand.page.fill("#loose-note", "under the perch")
    hand.tap("[data-act=loose-keep]")
    hand.page.wait_for_selector("#main >> text=Its owner stays open")
    hand.wait_until_sent()
    found = BandFound.objects.get(note="under the perch")
    assert found.colour is not None
    assert (found.kind, found.colour.name, found.recorded_by_id) == (
        "colour",
        "green",
        wendlebrook.people["tamsin"],
    )
