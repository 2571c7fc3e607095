"""Long answers a page at a time, and ids as addresses carry them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Generic, TypeVar

from django.http import HttpRequest
from ninja import Path, Query, Schema
from pydantic import Field

from tarsus.core.deeds.fields import LARGEST_ID

MOST = 500
"""So many items one answer holds at the most."""
T = TypeVar("T")
RowId = Annotated[int, Path(ge=1, le=LARGEST_ID)]
RowAsked = Annotated[int | None, Query(ge=1, le=LARGEST_ID)]


class Page(Schema, Generic[T]):
    """A part of a list; `next` is the address of the part after it, null at the end."""

    items: list[T]
    total: int
    next: str | None


class Part(Schema):
    """Which part of a list is asked for."""

    offset: int = Field(0, ge=0, le=10_000_000, description="How many items to pass over.")
    limit: int = Field(100, ge=1, le=MOST, description="How many items to tell.")


Asked = Annotated[Part, Query()]


def page_of(request: HttpRequest, found: Sequence[Any], part: Part) -> dict[str, Any]:
    """The part of a list that was asked for, and where the following one is."""
    end = part.offset + part.limit
    following = None
    if end < len(found):
        query = request.GET.copy()
        query["offset"], query["limit"] = str(end), str(part.limit)
        following = f"{request.path}?{query.urlencode()}"
    return {"items": list(found[part.offset : end]), "total": len(found), "next": following}
