"""Pages as tests read them."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from django.test import Client


def text_of(client: Client, address: str) -> str:
    """What a page says, its tags left out."""
    page = client.get(address)
    assert page.status_code == 200, address
    return " ".join(re.sub(r"<[^>]+>", " ", page.content.decode()).split())


# What a phone does not show: folded parts, what only a screen reader or a desk has, the drawings' words.
UNSEEN = {"hide", "desk-only"}
SILENT = {"script", "style", "svg", "band-drawing", "band-chip", "option", "noscript"}
VOID = {"input", "img", "br", "use", "link", "meta", "path", "rect", "line", "circle", "hr"}


class _Seen(HTMLParser):
    """The words of a page's main part that stand on a phone while nothing is unfolded."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self._open: list[tuple[str, bool]] = []
        self.feed(page[page.index("<main") : page.index("</main>")])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in VOID:
            return
        told = dict(attrs)
        quiet = bool(self._open) and self._open[-1][1]
        if tag == "summary":
            # The line of a folded part is seen, unless that part lies in another.
            quiet = any(silent for _, silent in self._open[:-1])
        folded = tag == "details" and "open" not in told
        unseen = bool(UNSEEN & set((told.get("class") or "").split())) or "hidden" in told
        self._open.append((tag, quiet or folded or unseen or tag in SILENT))

    def handle_endtag(self, tag: str) -> None:
        while self._open:
            if self._open.pop()[0] == tag:
                break

    def handle_data(self, data: str) -> None:
        if self._open and not self._open[-1][1]:
            self.words += [word for word in data.split() if re.search(r"\w", word)]


def words_seen(page: str) -> int:
    """How many words a page shows on a phone while nothing is unfolded."""
    return len(_Seen(page).words)
