"""Pages as tests read them."""

from __future__ import annotations

import re

from django.test import Client


def text_of(client: Client, address: str) -> str:
    """What a page says, its tags left out."""
    page = client.get(address)
    assert page.status_code == 200, address
    return " ".join(re.sub(r"<[^>]+>", " ", page.content.decode()).split())
