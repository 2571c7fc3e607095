"""Links to the deeds that a line asks for, for whoever may do them; and who can, for whoever may not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import in_words


@dataclass(frozen=True, slots=True)
class DeedLink:
    """A deed as a line offers it. `address` is empty for whoever may not; then `who_may` says who can."""

    name: str
    title: str
    address: str
    who_may: str


def deed_link(role: str, name: str, named: Mapping[str, Any], back: str, title: str = "") -> DeedLink:
    """The link to one deed, with what the line knows already filled in."""
    deed = DEEDS[name]
    address = address_of(deed, named, back) if deed.allowed_to(role) else ""
    return DeedLink(name, title or deed.title, address, in_words(deed.who_may))


def deed_links(role: str, names: Iterable[str], named: Mapping[str, Any], back: str) -> list[DeedLink]:
    """Links to those of several deeds that somebody of this role may do."""
    links = (deed_link(role, name, named, back) for name in names)
    return [link for link in links if link.address]


def address_of(deed: Deed, named: Mapping[str, Any], back: str) -> str:
    """Where a deed is done: on a page of its own that is better than a form, or on its form."""
    if deed.page == "in-hand" and "bird" in named:
        return f"{reverse('in-hand')}#bird-{named['bird']}"
    if deed.page == "roll-call" and "exhibit" in named:
        return reverse("roll-call", args=[named["exhibit"]])
    if deed.page == "stock" and not named.keys() & {"corrects", *(field.name for field in deed.fields)}:
        return reverse("stock")
    if deed.page == "exhibit-plan" and "exhibit" in named:
        return reverse("exhibit-plan-edit", args=[named["exhibit"]])
    if deed.page == "birds-come":
        return reverse("birds-come")
    own = {field.name for field in deed.fields} | {"corrects"}
    asked = {key: value for key, value in named.items() if key in own and value not in (None, "")}
    return f"{reverse('deed', args=[deed.name])}?{urlencode({**asked, 'next': back})}"
