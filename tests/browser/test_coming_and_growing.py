"""A bird's life from the first page to the register: it comes, it grows, it is sexed; stilts on eggs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from playwright.sync_api import Locator, Page, expect

from browser.keeper import Keeper
from tarsus.core.care.inventory.balance import InventoryLine
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.duties import duties_of_bird, duties_of_park
from tarsus.queries.inventory import inventory_of_month
from tarsus.queries.marks import marks_on
from tarsus.queries.presence import presence_of_exhibit
from tarsus.records import models as rows

Keepers = Callable[..., Keeper]
PARK = ZoneInfo("Europe/London")


def now() -> datetime:
    return datetime.now(PARK)


def today() -> date:
    return now().date()


def more(page: Page, words: str) -> None:
    page.goto("/")
    page.click("nav >> text=More")
    page.click(f".more-list >> text={words}")


def save(page: Page, says: str = "Saved") -> None:
    page.click("main button.first")
    page.wait_for_selector(f".told-you:has-text('{says}')")


def link(page: Page, within: str, deed: str) -> None:
    """The button on the line that asks for it."""
    press(page.locator(within).locator(f"a[href*='/deeds/{deed}/']").first)
    page.wait_for_url(f"**/deeds/{deed}/**")


def press(button: Locator) -> None:
    """Tap what may be folded away, the folds about it first."""
    button.wait_for(state="attached")
    folds = button.locator("xpath=(ancestor::details[not(@open)])[1]/summary")
    while folds.count():
        folds.click()
    button.click()


def says(page: Page, within: str, words: str) -> None:
    """Until it stands there: a page that has just come is still being read."""
    expect(page.locator(within).first).to_contain_text(words)


def kinds(bird: int, ahead: int = 0) -> list[str]:
    return [duty.kind for duty in duties_of_bird(bird, now() + timedelta(days=ahead))]


def band(page: Page, at: str, site: str, kind: str, word: str) -> None:
    page.select_option(f"#id_{at}-site", site)
    page.select_option(f"#id_{at}-kind", kind)
    if kind == "metal":
        page.fill(f"#id_{at}-engraving", word)
    else:
        page.select_option(f"#id_{at}-colour", word)


def test_two_come_one_changes_the_others_stay_and_the_vet_lets_them_out(
    keeper: Keepers, wendlebrook: Any
) -> None:
    sedge, shingle = wendlebrook.birds["Sedge"], wendlebrook.exhibits["Shingle Aviary"]
    sites = dict(marks_on(sedge, today()).sites)
    office = keeper("ivo").page
    more(office, "Arrivals")
    office.click("main >> text=Birds come")
    office.fill("[name=came_from]", "Marsh Park")
    office.fill("#id_b0-house_name", "Rush")
    office.select_option("#id_b0-species", label="Pied avocet")
    office.select_option("#id_b0-sex", "F")
    band(office, "b0-0", "right tibia", "metal", "XY 7001")
    band(office, "b0-1", "right tibia", "metal", "XY 7002")
    office.click("text=Another bird")
    office.fill("#id_b1-house_name", "Twin")
    office.select_option("#id_b1-species", label="Pied avocet")
    office.select_option("#id_b1-sex", "F")
    worn = [(site, word) for site, bands in sites.items() for word in bands]
    for at, (site, word) in enumerate(worn):
        metal = word == "metal"
        band(office, f"b1-{at}", site, "metal" if metal else "colour", "XY 7003" if metal else word)
    office.click("main button.first:has-text('Save')")
    office.wait_for_selector(".told-you:has-text('2 birds from Marsh Park')")
    says(office, ".told-you", "Rush: two metal bands on the right tibia")
    rush, twin = (rows.Bird.objects.get(house_name=name) for name in ("Rush", "Twin"))
    assert rows.Band.objects.filter(bird=rush, came_with_it=True).count() == 2
    for kind in ("two metals on a leg", "metal on the other side", "release from quarantine"):
        assert kinds(rush.pk).count(kind) == 1
    # The lead sees both marks side by side, and keeps what settles it.
    lead = keeper("hesper").page
    more(lead, "Arrivals")
    lead.wait_for_load_state()
    proposal = lead.locator(".proposal:has(a:text-is('Twin'))")
    assert "too alike to" in proposal.inner_text()
    assert proposal.locator("band-drawing").count() >= 3
    assert "stay as they are" in lead.inner_text("main")
    lead.click("text=Save for Twin")
    lead.wait_for_selector(".told-you")
    assert rows.PlannedMarks.objects.get(bird=twin).fitted_at is None
    # A keeper does not walk it around quarantine.
    hand = keeper("tamsin").page
    hand.goto(f"/birds/{twin.pk}/")
    link(hand, "main", "moved")
    hand.select_option("[name=to_exhibit]", label="Shingle Aviary")
    hand.click("main button.first")
    hand.wait_for_selector("[role=alert]:has-text('is in quarantine')")
    # The release stands on the vet's Today and asks whether the kept marks are on.
    vet = keeper("alder").page
    vet.goto("/")
    press(vet.locator(f"a[href*='/deeds/quarantine_released/?'][href*='bird={twin.pk}&']").first)
    says(vet, "main", "kept for Twin and not fitted yet")
    vet.click("main button.first")
    vet.click("main button.first")
    vet.wait_for_selector("[role=alert]:has-text('tick that it goes without them')")
    vet.check("[name=without_marks]")
    vet.click("main button.first")
    save(vet)
    assert rows.QuarantineRelease.objects.filter(bird=twin).exists()
    hand.click("main button.first")
    hand.wait_for_selector(".told-you:has-text('Saved')")
    assert rows.Stay.objects.get(bird=twin, to_on=None, taken_back_at=None).exhibit_id == shingle


def test_an_egg_becomes_a_banded_bird_whose_leg_is_looked_at(keeper: Keepers, wendlebrook: Any) -> None:
    hand = keeper("tamsin").page
    more(hand, "Nests")
    hand.click("a:has-text('Shingle Aviary')")
    link(hand, "main", "nest_begun")
    hand.fill("[name=name]", "reed edge 9")
    hand.select_option("[name=species]", label="Pied avocet")
    pair = rows.Pair.objects.filter(to_on=None).first()
    assert pair is not None
    hand.select_option("[name=pair]", str(pair.pk))
    save(hand)
    nest = rows.Nest.objects.get(name="reed edge 9")
    line = f"#nest-{nest.pk}"
    for event, amount in (("eggs", "3"), ("hatched", "2")):
        link(hand, line, "nest_event")
        hand.select_option("[name=event]", event)
        hand.fill("[name=amount]", amount)
        save(hand)
    says(hand, line, "2 unbanded chicks")
    link(hand, line, "bird_from_nest")
    assert hand.input_value("[name=hatched_on]") == today().isoformat()
    hand.fill("[name=house_name]", "Chip")
    hand.select_option("[name=site]", "left tibia")
    hand.select_option("[name=what]", "colour")
    hand.select_option("[name=colour]", "lime")
    save(hand)
    says(hand, line, "1 unbanded chick")
    chip = rows.Bird.objects.get(house_name="Chip")
    assert {chip.dam_id, chip.sire_id} == {pair.first_id, pair.second_id}
    assert (chip.hatched_on, chip.nest_id) == (today(), nest.pk)
    assert not rows.Band.objects.get(bird=chip).temporary
    assert "chick band check" in kinds(chip.pk, ahead=3), "though nobody ticked temporary"


def test_a_laboratory_answers_a_stray_result_is_asked_about_and_a_wrong_one_withdrawn(
    keeper: Keepers, wendlebrook: Any, tmp_path: Path
) -> None:
    first, sedge = rows.SexTest.objects.get(label="WB-S-0301"), wendlebrook.birds["Sedge"]
    hand = keeper("tamsin").page
    hand.goto(f"/birds/{sedge}/")
    link(hand, "main", "sex_sample")
    hand.fill("[name=label]", "WB-S-0400")
    save(hand)
    second = rows.SexTest.objects.get(label="WB-S-0400")
    assert "sample to send" in kinds(sedge)
    more(hand, "Samples")
    hand.fill("#laboratory", "Wend Valley Avian Laboratory")
    hand.click("text=Sent today")
    hand.wait_for_selector(".told-you:has-text('1 sample sent')")
    assert "sample to send" not in kinds(sedge)
    office = keeper("ivo").page
    more(office, "Samples")
    kept = tmp_path / "results.csv"
    kept.write_text(f"Sample,Result\n{first.label},male\n{second.label}x,female\n", "utf-8")
    office.set_input_files("#file", kept)
    office.click("text=Look at it")
    office.wait_for_selector("text=Nothing is written yet")
    assert not rows.SexFinding.objects.filter(test=first).exists()
    office.click("main button.first")
    office.wait_for_selector(".told-you:has-text('1 sexed')")
    assert rows.SexFinding.objects.get(test=first).sex == "M"
    # What is of no sample stands on Today until somebody says whose it was.
    office.goto("/")
    link(office, "main", "result_placed")
    office.select_option("[name=test]", str(second.pk))
    office.fill("[name=because]", "an x on the tube")
    save(office)
    assert rows.SexFinding.objects.get(test=second).sex == "F"
    assert not [duty for duty in duties_of_park(now()) if duty.kind == "result for no sample"]
    # Its new side and marks follow as duties; a wrong finding is withdrawn where it shows.
    assert {"sex result to act on", "metal on the other side"} & set(kinds(first.bird_id))
    office.goto(f"/birds/{first.bird_id}/")
    office.locator("li:has-text('Male, by DNA') a.put-right").first.click()
    office.click("text=It never happened")
    office.fill("[name=because]", "two tubes exchanged")
    office.click("main button.first")
    office.wait_for_selector(".told-you")
    assert not {"sex result to act on", "metal on the other side"} & set(kinds(first.bird_id))
    assert rows.SexFinding.objects.filter(test=first).count() == 1, "it stays readable"
    more(office, "Samples")
    says(office, "section:has(#aw)", first.label)


def avocets(month: date) -> dict[str, InventoryLine]:
    """The month's lines of the avocets held, by sex."""
    held = inventory_of_month(month).whole.held
    return {line.sex: line for line in held if line.species == "Pied avocet"}


def test_resexed_in_mid_month_the_inventory_says_so_and_its_marks_are_asked_for(
    keeper: Keepers, wendlebrook: Any
) -> None:
    sexed = rows.SexFinding.objects.filter(sex="F", bird__bands__kind="metal", bird__bands__to_on=None)
    bird = sexed.order_by("bird_id").first()
    assert bird is not None
    middle = today().replace(day=(today().day + 1) // 2)
    before = avocets(middle)
    office = keeper("ivo").page
    office.goto("/")
    office.click("a.finder")
    office.fill("main [name=q]", str(bird.bird))
    office.press("main [name=q]", "Enter")
    office.wait_for_url(f"**/birds/{bird.bird_id}/")
    link(office, "main", "sex_finding")
    office.select_option("[name=sex]", "M")
    office.select_option("[name=known_by]", "endoscopy")
    office.fill("[name=at]", middle.isoformat())
    save(office)
    told = kinds(bird.bird_id)
    assert {"sex evidence conflicts", "metal on the other side"} <= set(told)
    office.goto(f"/months/{middle:%Y-%m}/")
    assert "resexed" in office.inner_text("main").lower()
    after = avocets(middle)
    assert after["F"].resexed_out == before["F"].resexed_out + 1
    assert after["M"].resexed_in == before["M"].resexed_in + 1
    assert all(line.balances for line in after.values())
    assert after["F"].opening == before["F"].opening, "what was known on the first stays as it was"


def test_stilts_on_eggs_are_not_missed_and_nobody_is_caught_there(keeper: Keepers, wendlebrook: Any) -> None:
    shingle, began = wendlebrook.exhibits["Shingle Aviary"], today() - timedelta(days=200)
    tamsin = rows.Person.objects.get(login="tamsin")
    stilt = rows.Species.objects.get(name="Black-winged stilt")
    pair = []
    for name, sex in (("Reedling", "F"), ("Wader", "M")):
        bird = rows.Bird.objects.create(species=stilt, house_name=name, recorded_by=tamsin)
        rows.Stay.objects.create(bird=bird, exhibit_id=shingle, from_on=began, recorded_by=tamsin)
        found = now() - timedelta(days=200)
        rows.SexFinding.objects.create(
            bird=bird, sex=sex, known_by="size", recorded_by=tamsin, happened_at=found
        )
        pair.append(bird)
    hand = keeper("tamsin").page
    hand.goto(f"/birds/{pair[0].pk}/")
    link(hand, "main", "pair_formed")
    hand.select_option("[name=other]", str(pair[1].pk))
    save(hand)
    more(hand, "Nests")
    hand.click("a:has-text('Shingle Aviary')")
    link(hand, "main", "nest_begun")
    hand.fill("[name=name]", "spit 1")
    hand.select_option("[name=species]", label="Black-winged stilt")
    hand.select_option("[name=pair]", label="Reedling and Wader")
    save(hand)
    nest = rows.Nest.objects.get(name="spit 1")
    link(hand, f"#nest-{nest.pk}", "nest_event")
    hand.select_option("[name=event]", "eggs")
    hand.fill("[name=amount]", "4")
    save(hand)
    says(hand, f"#nest-{nest.pk}", "4 eggs")
    # Nobody misses them, and nobody catches beside them unless vet and lead both sign.
    present = presence_of_exhibit(shingle, now())
    assert {present[bird.pk].excused for bird in pair} == {"nest-sitting"}
    lead = keeper("hesper").page
    lead.goto(f"/catch-up/{shingle}/")
    lead.wait_for_selector(".forbidden:has-text('Reedling and Wader')")
    hand.goto(f"/birds/{pair[0].pk}/")
    says(hand, "main", "nest-sitting")
    # Hatched, banded: chicks with their parents.
    hand.goto(f"/nests/{shingle}/")
    link(hand, f"#nest-{nest.pk}", "nest_event")
    hand.select_option("[name=event]", "hatched")
    hand.fill("[name=amount]", "3")
    save(hand)
    link(hand, f"#nest-{nest.pk}", "bird_from_nest")
    hand.fill("[name=house_name]", "Pip")
    save(hand)
    pip = rows.Bird.objects.get(house_name="Pip")
    assert (pip.dam_id, pip.sire_id) == (pair[0].pk, pair[1].pk)
    says(hand, f"#nest-{nest.pk}", DEEDS["bird_from_nest"].title)  # two are left to band
