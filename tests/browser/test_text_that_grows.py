"""Text at twice the size, four times the zoom, wide spacing, names of sixty letters: all can be read.

Outside source: WCAG 2.2, success criteria 1.4.4 (text at 200 %), 1.4.10 (320 by 256 CSS pixels, which is
1280 by 1024 at 400 %) and 1.4.12 (spacing).
"""

from __future__ import annotations

from collections.abc import Callable

from browser.keeper import Keeper
from browser.measures import SPACED, TypeSize, cut_off
from browser.walk import addresses, begin_roll_call, give_long_names, open_page

SEEN_AT = (((390, 844), 200), ((1280, 900), 200), ((320, 256), 100), ((360, 640), 100))


def test_nothing_is_cut_off_on_any_page_however_large_the_text_and_long_the_names(
    keeper: Callable[..., Keeper],
) -> None:
    one = keeper("petra")
    give_long_names()
    begin_roll_call(one)
    found: dict[str, list[str]] = {}
    type_size = TypeSize(one.page)
    for address in addresses(one):
        open_page(one, address)
        for (width, height), per_cent in SEEN_AT:
            one.page.set_viewport_size({"width": width, "height": height})
            type_size.set(per_cent)
            found[f"{address} at {width} px, {per_cent} %"] = cut_off(one.page)
        type_size.set(100)
        one.page.set_viewport_size({"width": 390, "height": 844})
        one.page.evaluate(SPACED)
        # Words may be broken there: what is asked is that none is lost.
        found[f"{address}, spaced"] = [at for at in cut_off(one.page) if not at.startswith("the word")]
    told = [f"{at}: {fault}" for at, faults in found.items() for fault in faults]
    assert not told, "\n".join(told)


def test_the_measure_finds_what_is_cut_off_broken_and_covered(keeper: Callable[..., Keeper]) -> None:
    one = keeper("petra")
    open_page(one, "/more/")
    assert cut_off(one.page) == []
    one.page.evaluate(
        """() => {
            const main = document.querySelector('main');
            const put = (words, style) => {
                const p = document.createElement('p');
                p.textContent = words;
                Object.assign(p.style, style);
                main.prepend(p);
                return p;
            };
            put('Regenpfeifer', { width: '60px', overflow: 'hidden', whiteSpace: 'nowrap' });
            put('Sandregenpfeifer', { marginLeft: '380px', whiteSpace: 'nowrap' });
            put('Stelzen', { width: '40px', overflowWrap: 'anywhere' });
            put('Schuppen', { position: 'relative' });
            put('darüber', { position: 'relative', zIndex: 1, marginBottom: '-1.6em', background: 'white' });
        }"""
    )
    told = " ".join(cut_off(one.page))
    assert 'cut by P.null: "Regenpfeifer"' in told
    assert 'beside the page: "Sandregenpfeifer"' in told
    assert "the word Stelzen is broken" in told
    assert "under P.null" in told
