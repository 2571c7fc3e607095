"""Birds that move, go missing and die, told where there is no signal; and what the books make of it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.utils import timezone

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.queries.flock import roll_of
from tarsus.records.models import CarcaseNamed, Death, Missing, Move, MovedBird, PrintedInventory, Stay


def write_down(hand: Keeper, **named: object) -> None:
    """Open *Record* at what the address names."""
    hand.page.goto("about:blank")
    hand.page.goto("/tell/#" + "&".join(f"{key}={value}" for key, value in named.items()))
    hand.page.wait_for_selector("#main form, #main .more-list")


def at_desk(hand: Keeper) -> Keeper:
    """Somebody at a desk: pages of the whole park take their time on a busy machine."""
    hand.page.set_default_timeout(60_000)
    return hand


def until_sent(hand: Keeper) -> None:
    hand.wait_until_sent()


def on_the_roll(hand: Keeper) -> int:
    hand.call_roll(state="count")
    return int(hand.page.inner_text("#main .call-tally b"))


def test_a_whole_house_moves_by_one_act_without_signal_and_two_refuse(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, shingle, shore = keeper("tamsin", through=wire), *_exhibits(wendlebrook)
    hand.ready_for_no_signal()
    lived = set(_living(shingle))
    wire.cut()
    hand.page.goto(f"/exhibits/{shingle}/")
    hand.page.click("text=Record it on this phone")
    hand.page.wait_for_selector("#main .more-list")
    hand.page.click("text=A whole house moves")
    hand.page.wait_for_selector(f"text=Shingle Aviary, {len(lived)} birds")
    hand.page.select_option("[name=to_exhibit]", label="Heron Wood")
    stayed = [wendlebrook.birds[name] for name in ("Kelp", "Chert")]
    for bird in stayed:
        hand.page.check(f"[name=stayed][value='{bird}']")
    hand.page.fill("[name=why_not]", "would not come down")
    hand.page.fill("[name=because]", "the pond is drained")
    hand.page.click("button[type=submit]")
    hand.page.wait_for_selector(f".notice:has-text('{len(lived) - 2} birds')")
    assert on_the_roll(hand) == 2, "the tiles follow at once"
    assert not Move.objects.exists()
    wire.mend()
    write_down(hand)
    until_sent(hand)
    move = Move.objects.get()
    told = {row.bird_id: (row.came, row.because) for row in MovedBird.objects.filter(move=move)}
    assert {bird for bird, (came, _) in told.items() if came} == lived - set(stayed)
    assert {told[bird] for bird in stayed} == {(False, "would not come down")}
    assert set(_living(shingle)) == set(stayed)
    assert lived - set(stayed) <= set(_living(shore))
    # One act, and one correction: the whole house is back where it was.
    desk = at_desk(keeper("ivo"))
    desk.page.goto(f"/birds/{wendlebrook.birds['Marram']}/")
    desk.page.click("li:has-text('Came to live in Heron Wood') .put-right")
    desk.page.click("text=It never happened")
    desk.page.fill("[name=because]", "it was only planned")
    desk.page.click("button[type=submit]")
    desk.page.wait_for_selector("text=Saved")
    assert set(_living(shingle)) == lived
    desk.page.wait_for_load_state()
    history = desk.page.inner_text("main")
    assert "Taken back by Ivo Inkhorn: it was only planned" in history
    assert "Tamsin Reedmace" in history


def test_a_carcase_without_bands_lowers_the_count_at_once_and_is_named_later(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, (shingle, _) = keeper("tamsin", through=wire), _exhibits(wendlebrook)
    hand.ready_for_no_signal()
    before = on_the_roll(hand)
    wire.cut()
    write_down(hand, deed="death", exhibit=shingle)
    hand.page.click("button[type=submit]")
    hand.page.wait_for_selector(".refusal")
    hand.page.select_option("[name=species]", label="Pied avocet")
    hand.page.fill("[name=carcase_label]", "W 7")
    hand.page.check("[name=post_mortem_asked]")
    hand.page.click("button[type=submit]")
    hand.page.wait_for_selector("text=Which bird it was stays open")
    hand.page.click("text=Yes, save")
    hand.page.wait_for_selector(".notice")
    assert on_the_roll(hand) == before - 1
    wire.mend()
    write_down(hand)
    until_sent(hand)
    death = Death.objects.get(carcase_label="W 7")
    assert (death.bird, death.found_by, death.recorded_by.login) == (None, "Tamsin Reedmace", "tamsin")
    assert roll_of(shingle, timezone.localdate())["avocet"] == before - 1
    assert on_the_roll(hand) == before - 1, "not taken off twice"
    # *Which?* stays open on Today until somebody answers; then the post-mortem is written down.
    vet = at_desk(keeper("alder"))
    for deed, fill in (
        ("carcase_named", {"because": "its transponder"}),
        ("post_mortem", {"answer": "aspergillosis"}),
    ):
        vet.page.goto("/")
        vet.page.click(f"#main a[href*='/deeds/{deed}/'] >> visible=true")
        if "because" in fill:
            vet.page.select_option("[name=bird]", label="Kelp")
        for name, words in fill.items():
            vet.page.fill(f"[name={name}]", words)
        vet.page.click("button[type=submit]")
        vet.page.wait_for_load_state()  # or it might not have been read as far as the question
        if vet.page.query_selector("text=Yes, save"):
            vet.page.click("text=Yes, save")
        vet.page.wait_for_selector("text=Saved")
    kelp = wendlebrook.birds["Kelp"]
    assert CarcaseNamed.objects.get().bird_id == kelp
    assert kelp not in _living(shingle)
    assert roll_of(shingle, timezone.localdate())["avocet"] == before - 1
    vet.page.goto(f"/birds/{kelp}/")
    vet.page.wait_for_selector("text=A carcase was known as its own: its transponder")
    vet.page.wait_for_selector("text=aspergillosis")


def test_an_escaped_bird_is_told_without_signal_and_found_again(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, kelp = keeper("tamsin", through=wire), wendlebrook.birds["Kelp"]
    hand.ready_for_no_signal()
    before = on_the_roll(hand)
    wire.cut()
    for state, left in (("escaped", before - 1), ("found again", before)):
        write_down(hand, deed="whereabouts", bird=kelp)
        hand.page.select_option("[name=state]", value=state)
        hand.page.click("button[type=submit]")
        hand.page.wait_for_selector(".notice")
        assert on_the_roll(hand) == left
    wire.mend()
    write_down(hand)
    until_sent(hand)
    told = Missing.objects.filter(bird=kelp).order_by("happened_at").values_list("state", flat=True)
    assert list(told) == ["escaped", "found again"]


def test_a_late_phone_into_a_signed_month(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, kelp = keeper("tamsin", through=wire), wendlebrook.birds["Kelp"]
    hand.ready_for_no_signal()
    wire.cut()
    last = timezone.localdate().replace(day=1) - timedelta(days=2)
    write_down(hand, deed="death", bird=kelp)
    hand.page.fill("[name=at]", f"{last.isoformat()}T07:30")
    hand.page.click("button[type=submit]")
    hand.page.click("text=Yes, save")
    hand.page.wait_for_selector(".notice")
    # The office signs while the phone lies in a drawer.
    office, month = at_desk(keeper("ivo")), f"{last:%Y-%m}"
    office.page.goto(f"/months/{month}/")
    office.page.click("a:has-text('Sign a month')")
    office.page.click("button[type=submit]")
    office.page.click("text=Yes, save")
    office.page.wait_for_selector("text=Saved")
    signed = PrintedInventory.objects.get()
    lines = signed.lines
    wire.mend()
    write_down(hand)
    until_sent(hand)
    death = Death.objects.get(bird=kelp)
    assert timezone.localtime(death.happened_at).date() == last
    assert death.recorded_at > signed.printed_at
    signed.refresh_from_db()
    assert signed.lines == lines, "what was signed stays as it was signed"
    office.page.goto(f"/months/{month}/")
    page = " ".join(office.page.inner_text("main").split())
    assert "After signing" in page
    late = page.split("After signing")[1]
    assert "Kelp" in late
    assert "Tamsin Reedmace" in late
    assert f"{last:%-d %B %Y}" in late


def _exhibits(park: Any) -> tuple[int, int]:
    return park.exhibits["Shingle Aviary"], park.exhibits["Heron Wood"]


def _living(exhibit: int) -> list[int]:
    stays = Stay.objects.filter(exhibit=exhibit, to_on__isnull=True, taken_back_at__isnull=True)
    return list(stays.values_list("bird_id", flat=True))
