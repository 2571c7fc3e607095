"""Template words for deeds: what a line opens for whoever reads it."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from tarsus.core.care.duty import Duty
from tarsus.core.care.settling import settling
from tarsus.core.words.due import SHORT
from tarsus.queries.due_days import DueKind
from tarsus.queries.open_matters import OpenCase
from tarsus.queries.roll_said import roll_deed
from tarsus.web.access import role_of
from tarsus.web.deed_links import DeedLink, deed_link

register = template.Library()
_NOTHING = SafeString("")

register.filter("roll_deed", roll_deed)


@register.inclusion_tag("web/settles.html", takes_context=True)
def settles(context: dict[str, Any], duty: Duty) -> dict[str, Any]:
    """The deeds that settle a duty, for those who may; else who can."""
    request = context["request"]
    role = role_of(request)
    links = [
        deed_link(role, one.deed, one.named, request.get_full_path(), one.title) for one in settling(duty)
    ]
    return _offered(links)


@register.inclusion_tag("web/settles.html", takes_context=True)
def offers(context: dict[str, Any], names: str, **named: Any) -> dict[str, Any]:
    """Deeds by name (with spaces between), with what the line knows; for those who may, else who can."""
    request = context["request"]
    role = role_of(request)
    return _offered([deed_link(role, name, named, request.get_full_path()) for name in names.split()])


@register.inclusion_tag("web/settles.html", takes_context=True)
def case_offers(context: dict[str, Any], case: OpenCase, bird: int | None = None) -> dict[str, Any]:
    """What can be done in a case: a treatment is of one bird, so it is offered where that one is known."""
    bird = bird or (case.bird_ids[0] if len(case.bird_ids) == 1 else None)
    names = f"case_note instruction {'treatment ' if bird else ''}case_closed"
    return offers(context, names, case=case.case_id, bird=bird)


@register.inclusion_tag("web/does.html", takes_context=True)
def first_deed(context: dict[str, Any], duty: Duty) -> dict[str, Any]:
    """The deed that usually settles a duty, as a button; nothing for whoever may not."""
    request = context["request"]
    usual = settling(duty)[0]
    return _done(deed_link(role_of(request), usual.deed, usual.named, request.path), duty.what.rstrip("."))


@register.simple_tag(takes_context=True)
def their_deed(context: dict[str, Any], jobs: DueKind) -> str:
    """The word of the deed that usually settles each of several jobs; none for whoever may not."""
    usual = settling(jobs.lines[0].duty)[0]
    link = deed_link(role_of(context["request"]), usual.deed, usual.named, "/")
    return SHORT.get(link.name, link.title) if link.address else ""


@register.inclusion_tag("web/does.html", takes_context=True)
def does(context: dict[str, Any], name: str, **named: Any) -> dict[str, Any]:
    """One deed by name as a button; nothing for whoever may not."""
    request = context["request"]
    return _done(deed_link(role_of(request), name, named, request.path), "")


def _done(link: DeedLink, about: str) -> dict[str, Any]:
    words = SHORT.get(link.name, link.title)
    return {"link": link if link.address else None, "words": words, "about": about}


@register.simple_tag(takes_context=True)
def puts_right(context: dict[str, Any], name: str, fact: object) -> SafeString:
    """The link by which a line is put right, for whoever may; nothing for others."""
    request = context["request"]
    link = deed_link(role_of(request), name, {"corrects": fact}, request.get_full_path())
    return (
        format_html(' <a class="put-right" href="{}">correct the record</a>', link.address)
        if link.address
        else _NOTHING
    )


def _offered(links: list[DeedLink]) -> dict[str, Any]:
    may = [link for link in links if link.address]
    return {"links": may, "who": "" if may or not links else f"{links[0].title}: {links[0].who_may} can"}
