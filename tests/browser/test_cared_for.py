"""A lame bird from the first concern to the closed case: the vet's word there, the keeper's reply."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.utils import timezone

from browser.keeper import Keeper
from browser.test_leaving import at_desk, until_sent, write_down
from browser.wire import Wire
from tarsus.records.models import BodyCondition, Case, CaseNote, Treatment, TreatmentRecheck, Weighing


def lame(hand: Keeper, name: str) -> None:
    """Seen in the roll call, and lame: the vet is to be told."""
    hand.call_roll(state="tiles")
    hand.see(name)
    hand.tap("[data-act=concern]")
    hand.page.wait_for_selector("[data-act=concern-seen]")
    hand.tap("[data-act=concern-seen][data-value=lame]")
    hand.tap("[data-act=concern-vet]")
    hand.page.wait_for_selector("[data-act=concern-vet][aria-pressed=true]")
    hand.tap("[data-act=concern-keep]")
    hand.page.wait_for_selector(".tiles")


def test_the_vets_word_stands_on_the_tile_and_the_keeper_replies_without_signal(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, kelp = keeper("tamsin", through=wire), wendlebrook.birds["Kelp"]
    write_down(hand, deed="concern", bird=kelp)
    hand.page.check("[name=seen][value=lame]")
    hand.page.check("[name=tell_vet]")
    hand.page.click("button[type=submit]")
    hand.page.wait_for_selector(".notice")
    until_sent(hand)
    case = Case.objects.get(birds=kelp)
    vet = at_desk(keeper("alder"))
    vet.page.goto(f"/birds/{kelp}/")
    vet.page.click("section:has(#ve) >> text=Tell the keepers what to do")
    vet.page.fill("[name=text]", "Watch it feed. Do not catch.")
    vet.page.click("button[type=submit]")
    vet.page.wait_for_selector("section:has(#ve) >> text=Watch it feed. Do not catch.")
    # The phone fetches its packs once more, and loses the signal.
    hand.call_roll(state="set")
    hand.tap("[data-act=set-fetch]")
    hand.turn_to("By sight")
    hand.page.wait_for_selector(f"{hand.tile('Kelp')} .tile-do:has-text('Do not catch')")
    hand.page.goto("/")
    hand.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    hand.page.wait_for_function("() => navigator.serviceWorker.controller", timeout=60_000)
    wire.cut()
    hand.call_roll(state="tiles")
    hand.page.wait_for_selector(f"{hand.tile('Kelp')} .tile-do:has-text('Do not catch')")
    write_down(hand, deed="case_note", bird=kelp, case=case.pk)
    hand.page.fill("[name=text]", "Fed well at noon, walks short.")
    hand.page.click("button[type=submit]")
    hand.page.wait_for_selector(".notice")
    for deed, said in (
        ("body_condition", {"score": "2", "note": "keel to be felt"}),
        ("weighed", {"weight_g": "301"}),
    ):
        write_down(hand, deed=deed, bird=kelp)
        for name, words in said.items():
            hand.page.fill(f"[name={name}]", words)
        hand.page.click("button[type=submit]")
        hand.page.wait_for_selector(".notice")
    lame(hand, "Kelp")
    assert not CaseNote.objects.filter(case=case).exists()
    wire.mend()
    write_down(hand)
    until_sent(hand)
    assert Case.objects.filter(birds=kelp).count() == 1, "the second *lame* joined the open case"
    told = list(CaseNote.objects.filter(case=case).order_by("happened_at").values_list("text", flat=True))
    assert told == ["Fed well at noon, walks short.", "Told again: lame."]
    scored = BodyCondition.objects.get(bird=kelp)
    assert (scored.score, scored.scale_to, scored.recorded_by.login) == (2, 5, "tamsin")
    assert Weighing.objects.filter(bird=kelp, weight_g=301, where="perch scale").exists()
    # A treatment asks for its look, and the vet closes the case.
    vet.page.goto(f"/birds/{kelp}/")
    vet.page.wait_for_selector("text=Fed well at noon")
    vet.page.click("section:has(#ve) >> text=A treatment")
    vet.page.fill("[name=what]", "pain relief in the feed")
    vet.page.fill("[name=recheck_days]", "1")
    vet.page.fill("[name=rechecks]", "2")
    vet.page.fill("[name=at]", _days_ago(1))
    vet.page.click("button[type=submit]")
    vet.page.wait_for_selector("text=Look at Kelp under treatment: pain relief in the feed.")
    vet.page.click("section >> text=A look at a bird under treatment")
    vet.page.fill("[name=note]", "walks evenly")
    vet.page.click("button[type=submit]")
    vet.page.wait_for_selector("text=Looked at under treatment: walks evenly")
    assert not vet.page.query_selector("text=Look at Kelp under treatment")
    assert TreatmentRecheck.objects.get().treatment == Treatment.objects.get()
    vet.page.click("section:has(#ve) >> text=Close the case")
    vet.page.fill("[name=because]", "sound again")
    vet.page.click("button[type=submit]")
    vet.page.wait_for_selector("text=Case closed: sound again")
    case.refresh_from_db()
    assert (case.closed_because, case.closed_by and case.closed_by.login) == ("sound again", "alder")


def _days_ago(days: int) -> str:
    return (timezone.localdate() - timedelta(days=days)).isoformat()
