"""Pages as tests read them."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from django.http import HttpResponse
from django.test import Client

BLOCK = re.compile(
    r"</?(?:article|aside|body|d[dlt]|details|div|fieldset|figure|footer|form|h[1-6]|head|header|html|legend|li"
    r"|main|nav|ol|p|section|summary|table|tbody|t[dhr]|tfoot|thead|ul)[\s/>]"
)
"""The tag of a block, beside which a browser drops a blank; beside `<b>` or `<a>` it is seen."""
AS_WRITTEN = re.compile(r"(<(pre|textarea)\b.*?</\2>)", re.DOTALL)
TAG = re.compile(r"""(<[a-zA-Z/!](?:[^"'>]|"[^"]*"|'[^']*')*>)""")
QUOTED = re.compile(r"""("[^"]*"|'[^']*')""")


def shown(answer: HttpResponse) -> str:
    """The markup of an answer as a browser takes it, however its lines are broken: see `as_taken`."""
    return as_taken(answer.content.decode())


def as_taken(markup: str) -> str:
    """The markup with the blanks a browser sees and no others.

    White space is one blank; beside the tag of a block there is none; a tag stands in one line, its quoted
    values as they are. A blank that comes or goes between words, or beside an inline element, stays seen.
    """
    parts = AS_WRITTEN.split(markup)
    # The expression has two groups: what stands between, an element as written, its name, and so on.
    return "".join(
        _collapsed(between) + "".join(kept)
        for between, *kept in zip(parts[::3], [*parts[1::3], ""], strict=True)
    )


def _collapsed(markup: str) -> str:
    pieces = TAG.split(markup)
    for at, piece in enumerate(pieces):
        if at % 2:
            around = QUOTED.split(piece)
            around[::2] = [re.sub(r"\s+", " ", one) for one in around[::2]]
            pieces[at] = re.sub(r" (/?>)$", r"\1", "".join(around))
            continue
        words = re.sub(r"\s+", " ", piece)
        words = words.lstrip() if at and BLOCK.match(pieces[at - 1]) else words
        pieces[at] = words.rstrip() if at + 1 < len(pieces) and BLOCK.match(pieces[at + 1]) else words
    return "".join(pieces)


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
