"""What a form refuses is said in our own sentences, and its summary leads to the fields."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html import unescape
from pathlib import Path

import pytest
from django import forms
from django.test import Client

import tarsus.web.urls  # every page's forms are known once the pages are
from tarsus.web.page_form import OwnWords, PageForm, in_own_words
from tarsus.web.rule_form import RuleForm
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]
# How the framework begins what it says by itself.
NOT_OURS = re.compile(r"This field |Enter a |Enter the |Ensure this |Select a valid|The submitted ")


def kinds_of(form: type) -> Iterator[type]:
    for kind in form.__subclasses__():
        yield kind
        yield from kinds_of(kind)


def test_every_form_of_a_page_speaks_for_itself() -> None:
    ours = [kind for kind in kinds_of(forms.Form) if kind.__module__.startswith("tarsus.")]
    assert len(ours) > 15
    assert [kind.__qualname__ for kind in ours if not issubclass(kind, OwnWords)] == []


class EveryKind(PageForm):
    line = forms.CharField(max_length=3)
    short = forms.CharField(min_length=3)
    whole = forms.IntegerField(min_value=1, max_value=12)
    number = forms.FloatField(min_value=0.5)
    day = forms.DateField()
    moment = forms.DateTimeField()
    clock = forms.TimeField()
    mail = forms.EmailField()
    one = forms.ChoiceField(choices=[("a", "a")])
    some = forms.MultipleChoiceField(choices=[("a", "a")], widget=forms.CheckboxSelectMultiple)
    kept = forms.CharField(widget=forms.HiddenInput)


WRONG = {
    "line": "long",
    "short": "s",
    "whole": "13",
    "number": "0.1",
    "day": "31.31.",
    "moment": "noon",
    "clock": "25:00",
    "mail": "nobody",
    "one": "b",
    "some": ["b"],
    "kept": "\0",
}


@pytest.mark.parametrize("said", [{}, WRONG, WRONG | {"whole": "0", "number": "x"}, WRONG | {"whole": "1.5"}])
def test_no_sentence_of_the_framework_is_left(said: dict[str, str]) -> None:
    form = EveryKind(said)
    assert not form.is_valid()
    told = {one.target: one.says for one in form.refusals()}
    assert len(form.refusals()) == len(form.fields)
    assert [text for text in told.values() if NOT_OURS.search(text)] == []
    assert "" in told, "a hidden field has no place to lead to"
    assert "id_some_0" in told, "a group of choices leads to its first"


class OwnSentence(PageForm):
    code = forms.CharField(error_messages={"required": "Write the code that your app shows."})


def test_what_a_field_says_by_itself_stays() -> None:
    form = OwnSentence({})
    assert [one.says for one in form.refusals()] == ["Write the code that your app shows."]
    in_own_words(form.fields.values())
    assert form.fields["code"].error_messages["required"] == "Write the code that your app shows."
    assert form.fields["code"].error_messages["invalid"] == "This cannot be read; write it anew."


def test_a_rule_with_a_number_of_thousands_of_digits_is_refused_and_drawn_as_none() -> None:
    form = RuleForm({"colours_F_0": "9" * 5000}, sites=("left leg",))
    _, _, drawn = form.rows()[0]
    assert drawn.marks == {"left leg": []}
    assert "colours_F_0" in form.errors


def test_a_number_out_of_range_is_told_the_range() -> None:
    form = EveryKind(WRONG)
    said = {one.label: one.says for one in form.refusals()}
    assert said["Whole"] == "At most 12; write a smaller number."
    assert said["Number"] == "At least 0.5; write a larger number."
    assert said["Line"] == "At most 3 characters; these are 4. Make it shorter."


@pytest.mark.parametrize(
    ("login", "at", "said"),
    [
        ("maren", "/settings/species/new/", {}),
        ("maren", "/settings/species/{avocet}/rule/", {"from_on": "soon"}),
        ("maren", "/settings/exhibits/new/", {}),
        ("maren", "/settings/exhibits/{shingle}/places/new/", {"kind": "cloud"}),
        ("dunstan", "/settings/people/new/", {}),
        ("dunstan", "/settings/devices/", {}),
        ("maren", "/arrivals/new/", {"b0-sex": "F"}),
        ("tilda", "/deeds/concern/?bird={bird}", {}),
        ("maren", "/exhibits/{shingle}/plan/edit/", {}),
        (
            "maren",
            "/catch-up/{shingle}/sign/",
            {"day": "2026-06-12", "starts": "05:00", "chase_minutes": "5"},
        ),
        ("maren", "/catch-up/{shingle}/keep/", {}),
        ("maren", "/import/", {}),
        ("maren", "/samples/file/", {}),
    ],
)
def test_the_summary_leads_to_each_field_that_is_to_be_mended(
    login: str, at: str, said: dict[str, str], garden: Wendlebrook, signed_in: Browser
) -> None:
    address = at.format(avocet=garden.avocet, shingle=garden.shingle, bird=garden["Samphire"])
    answer = signed_in(login).post(address, {"sent": "yes", **said})
    text = unescape(answer.content.decode())
    assert answer.status_code == 422
    summary = text[text.index('id="to-mend"') :]
    summary = summary[: summary.index("</ul>")]
    targets = re.findall(r'href="#([^"]+)"', summary)
    assert targets
    assert [target for target in targets if f' id="{target}"' not in text] == []
    assert not NOT_OURS.search(text)


def test_a_form_that_only_asks_has_a_summary_too(garden: Wendlebrook, signed_in: Browser) -> None:
    answer = signed_in("maren").get("/reports/inventory/?first=soon&last=2026-06-11")
    text = answer.content.decode()
    summary = text[text.index('id="to-mend"') :].split("</ul>")[0]
    targets = re.findall(r'href="#([^"]+)"', summary)
    assert targets
    assert [target for target in targets if f' id="{target}"' not in text] == []


def test_whoever_is_not_signed_in_is_led_to_what_is_missing(db: None) -> None:
    text = Client().post("/sign-in/", {"username": "nobody", "password": ""}).content.decode()
    assert '<a href="#id_password">Password</a>: Write your password.' in text


TEMPLATES = Path(tarsus.web.__file__).parent / "templates" / "web"


def test_every_page_with_fields_has_a_summary() -> None:
    pages = {page.name: page.read_text(encoding="utf-8") for page in TEMPLATES.glob("*.html")}

    def sums_up(name: str) -> bool:
        """Whether a page, or the one that it fills in, has the summary."""
        text = pages[name]
        below = re.search(r'{% extends "web/([^"]+)" %}', text)
        return bool(re.search(r"web/(refusals|refused_list)\.html", text)) or bool(
            below and sums_up(below[1])
        )

    with_fields = [name for name, text in pages.items() if "web/field.html" in text]
    assert len(with_fields) > 12
    assert [name for name in with_fields if not sums_up(name)] == []
