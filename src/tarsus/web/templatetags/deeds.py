"""Template words for deeds: what a line opens for whoever reads it."""

from __future__ import annotations

from typing import Any

from django import template

from tarsus.core.care.duty import Duty
from tarsus.core.care.settling import settling
from tarsus.web.access import role_of
from tarsus.web.deed_links import DeedLink, deed_link

register = template.Library()


@register.inclusion_tag("web/settles.html", takes_context=True)
def settles(context: dict[str, Any], duty: Duty) -> dict[str, Any]:
    """The deeds that settle a duty, for those who may; else who can."""
    request = context["request"]
    role = role_of(request)
    links = [deed_link(role, one.deed, one.named, request.path) for one in settling(duty)]
    return _offered(links)


@register.inclusion_tag("web/settles.html", takes_context=True)
def offers(context: dict[str, Any], names: str, **named: Any) -> dict[str, Any]:
    """Deeds by name (with spaces between), with what the line knows; for those who may, else who can."""
    request = context["request"]
    role = role_of(request)
    return _offered([deed_link(role, name, named, request.path) for name in names.split()])


def _offered(links: list[DeedLink]) -> dict[str, Any]:
    may = [link for link in links if link.address]
    return {"links": may, "who": "" if may or not links else f"{links[0].title}: {links[0].who_may} can"}
