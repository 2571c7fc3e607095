"""Whatever a page answers a program may ask: no page without its route, and no route that is forgotten."""

from __future__ import annotations

from addresses import addresses
from page_questions import ANSWERED, NO_QUESTION, OF_NO_PAGE
from tarsus.api.interface import api


def _pages() -> set[str]:
    return {str(pattern.name) for _, pattern in addresses()}


def test_every_page_has_a_route_or_a_reason_to_have_none() -> None:
    pages = _pages()
    assert not ANSWERED.keys() & NO_QUESTION.keys()
    forgotten = sorted(pages - ANSWERED.keys() - NO_QUESTION.keys())
    assert not forgotten, f"say in tests/page_questions.py which route answers {forgotten}, or why none does"
    gone = sorted((ANSWERED.keys() | NO_QUESTION.keys()) - pages)
    assert not gone, f"there are no such pages any more: {gone}"
    assert all(NO_QUESTION.values())


def test_every_route_that_is_named_is_there_and_every_route_is_named() -> None:
    routes = {path.removeprefix("/api/v1") for path in api.get_openapi_schema()["paths"]}
    named = {route for of_page in ANSWERED.values() for route in of_page}
    assert named - routes == set()
    assert routes - named - OF_NO_PAGE.keys() == set()
    assert OF_NO_PAGE.keys() <= routes - named
