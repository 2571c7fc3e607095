"""Every line of *Today*, for every role, opens what settles it, or says who can."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from html.parser import HTMLParser
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.utils import timezone

from pages import shown, words_seen
from tarsus.actions.care.catch_up import keep_catch_up
from tarsus.actions.facts import hear_facts
from tarsus.core.deeds.rights import ROLES
from tarsus.demo.loaded import load_demo
from tarsus.records.models import Person

pytestmark = pytest.mark.django_db
VOID = {"input", "img", "br", "use", "link", "meta", "path", "rect", "line", "circle", "hr"}
ROWS = {"row", "exh", "miss", "due"}
NUMBERS = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}|\d+")
MONTHS = "is over and not yet signed"


@dataclass
class Line:
    """One line of the page: what it says, and where it leads."""

    words: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)

    @property
    def says(self) -> str:
        return " ".join(" ".join(self.words).split())


class Lines(HTMLParser):
    """Gather the rows of the page's main part; a tight row belongs to the one before it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.rows: list[Line] = []
        self.links: list[str] = []
        self.open: list[tuple[str, Line | None]] = []
        self.feed(page[page.index("<main") : page.index("</main>")])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        named = (told.get("class") or "").split()
        row = self.open[-1][1] if self.open else None
        if "line" in named and ROWS & set(named):
            if "tight" in named and self.rows and row is None:
                row = self.rows[-1]
            else:
                row = Line()
                self.rows.append(row)
        if tag == "a" and told.get("href"):
            self.links.append(str(told["href"]))
            if row is not None:
                row.links.append(str(told["href"]))
        if tag not in VOID:
            self.open.append((tag, row))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that closes itself holds nothing."""

    def handle_endtag(self, tag: str) -> None:
        while self.open:
            if self.open.pop()[0] == tag:
                break

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1][1] is not None:
            self.open[-1][1].words.append(data)


def lines_of(client: Client) -> Lines:
    answer = client.get("/")
    assert answer.status_code == 200
    return Lines(shown(answer))


def browsers() -> Iterator[tuple[str, Client]]:
    """One person of each role, at a browser."""
    for role in ROLES:
        person = Person.objects.filter(role=role).first() or Person.objects.create_user(
            f"the-{role}", "a long walk to the spit", display_name=f"The {role}", role=role
        )
        client = Client()
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        yield role, client


def settles_or_says_who(line: Line) -> bool:
    """Whether a line leads somewhere, or names who can settle it."""
    return bool(line.links) or " can" in line.says


@pytest.fixture
def park(db: None) -> Any:
    """The invented park in small on a day on which everything is open, a report and a carcase too."""
    today = datetime.now(ZoneInfo("Europe/London")).date()
    park = load_demo(today, small=True)
    exhibit, tamsin = park.exhibits["Shingle Aviary"], Person.objects.get(login="tamsin").pk
    at = timezone.now().isoformat()
    told: list[dict[str, Any]] = [
        {"kind": "report", "said": "a white bird on the service road", "birds": [park.birds["Sedge"]]},
        {"kind": "death", "exhibit": exhibit, "species": species_of(park), "found_by": "Tamsin"},
    ]
    facts = [{"id": str(uuid4()), "at": at, "by": tamsin, **one} for one in told]
    answers = hear_facts(facts=facts, clock=None, device="", speaker=tamsin)
    assert [answer.outcome for answer in answers] == ["written", "written"], answers
    for ahead in (-3, 0, 2):
        keep_catch_up(
            exhibit_id=exhibit,
            planned_for=today + timedelta(days=ahead),
            chosen={park.birds["Samphire"]: ["Weigh it."]},
            limits={},
            by=Person.objects.get(login="hesper").pk,
        )
    return park


def species_of(park: Any) -> int:
    from tarsus.records.models import Bird

    return int(Bird.objects.get(pk=park.birds["Sedge"]).species_id)


def test_every_line_of_today_opens_what_settles_it_or_says_who_can(park: Any) -> None:
    for role, client in browsers():
        lines = lines_of(client)
        assert len(lines.rows) > 15, "the park has something of everything"
        dead = [line.says for line in lines.rows if not settles_or_says_who(line)]
        assert not dead, f"{role}: {dead}"
        # One of each kind: whichever bird it is of, it is the same page.
        kinds = {NUMBERS.sub("0", address): address for address in lines.links if not address.startswith("#")}
        for address in kinds.values():
            answer = client.get(address.partition("#")[0])
            assert answer.status_code == 200, f"{role}: {address} answers {answer.status_code}"


def test_today_a_flock_and_a_bird_are_looked_at_and_not_read(park: Any) -> None:
    """At most so many words on a phone, for every role; the day has something of everything."""
    flock = f"/flocks/{park.exhibits['Shingle Aviary']}/avocet/"
    birds = [f"/birds/{park.birds[name]}/" for name in ("Sedge", "Samphire", "Marram")]
    for role, client in browsers():
        for address, most in (("/", 350), (flock, 400), *((bird, 330) for bird in birds)):
            told = words_seen(shown(client.get(address)))
            assert 60 < told <= most, f"{role}: {address} says {told} words, at most {most}"


def test_words_are_counted_as_they_stand_on_a_phone() -> None:
    page = """<main><h1 class="hide">Not this</h1><p>One two, 3 – <b>four</b></p>
    <details><summary>five</summary><p>not this <details><summary>nor this</summary></details></p></details>
    <details open><summary>six</summary>seven</details><svg><text>none</text></svg><input> eight</main>"""
    assert words_seen(page) == 8


def test_whoever_may_settle_a_line_is_led_to_the_deed_and_the_others_to_a_name(park: Any) -> None:
    """Written by hand: role by role, what the lines of that day lead to."""
    deeds = {
        # deed: (who is led to it, what the others read)
        "/deeds/report_answered/": ("keeper lead vet records administrator", "keeper"),
        "/deeds/case_note/": ("keeper lead vet administrator", "keeper"),
        "/deeds/case_closed/": ("vet", ""),
        "/deeds/carcase_named/": ("keeper lead vet records administrator", "keeper"),
        "/deeds/quarantine_released/": ("vet", "the vet can"),
        "/deeds/inventory_signed/": ("records administrator", ""),
        "/roll-call/": ("keeper lead vet records administrator", "Start roll call"),
        "/catch-up/kept/": (" ".join(ROLES), ""),
        "/deeds/forecast/": ("lead vet administrator", ""),
    }
    for role, client in browsers():
        lines = lines_of(client)
        said = " ".join(line.says for line in lines.rows)
        for deed, (who, others) in deeds.items():
            led = any(deed in address for address in lines.links)
            assert led == (role in who.split()), f"{role}, {deed}"
            if not led:
                assert others in said, f"{role} is not told who can: {deed}"


def test_an_empty_park_says_the_next_step_to_every_role(db: None) -> None:
    for role, client in browsers():
        lines = lines_of(client)
        page = shown(client.get("/"))
        assert "Every bird on the roll was seen" not in page, "there is no bird"
        assert "No exhibit has been entered yet" in page
        assert lines.links or "can" in page or "lead keeper enters" in page, role
        for address in sorted(set(lines.links)):
            opened = client.get(address, follow=True)
            assert opened.status_code == 200, f"{role}: {address}"


def test_a_month_is_asked_of_those_who_sign_until_it_is_signed(park: Any) -> None:
    told = dict(browsers())
    last = timezone.localdate().replace(day=1) - timedelta(days=1)
    words = f"{last:%B %Y} {MONTHS}"
    page = {role: shown(client.get("/")) for role, client in told.items()}
    assert {role for role in ROLES if words in page[role]} == {"records", "administrator"}
    records = told["records"]
    signed = {"deed_id": str(uuid4()), "month": f"{last.replace(day=1):%Y-%m-%d}", "sure": "yes"}
    assert records.post("/deeds/inventory_signed/?next=/", signed).status_code == 302
    assert MONTHS not in shown(records.get("/"))


def test_of_months_after_the_first_signed_one_the_earliest_is_asked_for(park: Any) -> None:
    records = dict(browsers())["records"]
    third = _months_before(3)
    signed = {"deed_id": str(uuid4()), "month": f"{third:%Y-%m-%d}", "sure": "yes"}
    assert records.post("/deeds/inventory_signed/?next=/", signed).status_code == 302
    assert f"{_months_before(2):%B %Y} {MONTHS}" in shown(records.get("/"))


def _months_before(number: int) -> date:
    first = timezone.localdate().replace(day=1)
    for _ in range(number):
        first = (first - timedelta(days=1)).replace(day=1)
    return first
