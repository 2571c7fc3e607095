"""What the park's exhibits are called, asked for once a page."""

from __future__ import annotations

from collections.abc import Mapping

from tarsus.queries.once import once
from tarsus.records.models import Exhibit


@once
def exhibit_names() -> Mapping[int, str]:
    """Exhibit -> its name, closed ones among them, in one query."""
    return dict(Exhibit.objects.values_list("id", "name"))
