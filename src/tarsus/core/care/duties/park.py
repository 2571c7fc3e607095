"""Duties of no living bird: stock to order, carcases without a name, answers awaited, bands found alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duties.sexing import WORDS
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import CarcaseFound, LooseBand, LyingChip, StockHeld, StrayResult, UnknownChip
from tarsus.core.care.ordering import one_line, order_of

STOCK_RECEIVED: Final = "stock received"
CARCASE_NAMED: Final = "carcase named"
POST_MORTEM_ANSWERED: Final = "post-mortem answered"
RESULT_PLACED: Final = "result placed"
SEEN: Final = "seen since"
TRANSPONDER_GIVEN: Final = "transponder written down"
OWNER_NAMED: Final = "owner of the band named"


def stock_duties(stock: Iterable[StockHeld]) -> Iterator[Duty]:
    """Order what runs low, and what kept marks wait for: one job, however many kinds and sizes."""
    orders = [(held, order_of(held.amount, held.order_below, held.spoken_for)) for held in stock]
    wanted = [(held, order) for held, order in orders if order.amount]
    if not wanted:
        return
    why = "; ".join(f"{held.words} {held.size}: {held.amount} left, {order.why}" for held, order in wanted)
    yield Duty(
        kind="order bands",
        bird=None,
        exhibit=None,
        subject=f"stock {wanted[0][0].stock}" if len(wanted) == 1 else "stock",
        what=f"Order {one_line((order.amount, held.words, held.size) for held, order in wanted)}.",
        why=f"{why}.",
        by=None,
        urgency=Urgency.SOON,
        caution=cautions.NONE,
        in_hand=False,
        settled_by=STOCK_RECEIVED,
    )


def carcase_duties(carcases: Iterable[CarcaseFound]) -> Iterator[Duty]:
    """Whose a carcase is, and what its post-mortem says.

    Source:
        Common practice; docs/science/cautions.md.
    """
    for carcase in carcases:
        subject = f"death {carcase.death}"
        found = f"Found {carcase.found_on:%-d %B %Y}."
        if not carcase.named:
            what = f"A dead {carcase.species}: say which, once it is known."
            yield _open(
                "which bird died", subject, carcase.exhibit, what, found, cautions.CARCASE, CARCASE_NAMED
            )
        if carcase.post_mortem_asked and not carcase.post_mortem_answered:
            what = f"Record the post-mortem's answer: {carcase.named or carcase.species}."
            yield _open(
                "post-mortem awaited",
                subject,
                carcase.exhibit,
                what,
                found,
                cautions.NONE,
                POST_MORTEM_ANSWERED,
            )


def stray_result_duties(results: Iterable[StrayResult]) -> Iterator[Duty]:
    """Whose sample a laboratory's result is of, where it names none of the register's."""
    for result in results:
        yield _open(
            "result for no sample",
            f"question {result.question}",
            None,
            f"Say whose sample {result.label} was.",
            f"The laboratory found {WORDS.get(result.sex, 'no sex')} in it, {result.told_on:%-d %B %Y}; no "
            "sample of that number is in the register.",
            cautions.NONE,
            RESULT_PLACED,
        )


def chip_duties(lying: Iterable[LyingChip], unknown: Iterable[UnknownChip]) -> Iterator[Duty]:
    """Look where a chip lies, and say whose one is that nobody here wears.

    Source:
        docs/decisions/0049-a-chip-is-no-bird.md.
    """
    for chip in lying:
        yield Duty(
            kind="look under the antenna",
            bird=chip.bird,
            exhibit=chip.exhibit,
            subject=f"antenna {chip.antenna}",
            what=f"Look under {chip.antenna}: {chip.name}'s transponder read there for {chip.hours} hours.",
            why="Without a pause it is a chip that lies there, or its bird does. Such reads clear nobody.",
            by=None,
            urgency=Urgency.TODAY,
            caution=cautions.NONE,
            in_hand=False,
            settled_by=SEEN,
        )
    for one in unknown:
        yield _open(
            "whose transponder",
            f"code {one.code}",
            one.exhibit,
            f"Say whose transponder {one.code} is.",
            f"Read at {one.antenna}; no bird of the register wears it.",
            cautions.NONE,
            TRANSPONDER_GIVEN,
        )


def loose_band_duties(bands: Iterable[LooseBand]) -> Iterator[Duty]:
    """Whose a band found alone may be; nobody is taken for dead."""
    for band in bands:
        owners = (
            "Nobody is on record with one" if not band.possible_owners else f"{band.possible_owners} wear one"
        )
        yield _open(
            "band found alone",
            f"found {band.found}",
            band.exhibit,
            f"Say whose it was: {band.words}.",
            f"Found {band.found_on:%-d %B %Y}. {owners}. Nobody is taken for dead.",
            cautions.NONE,
            OWNER_NAMED,
        )


def _open(
    kind: str, subject: str, exhibit: int | None, what: str, why: str, caution: str, settled_by: str
) -> Duty:
    return Duty(kind, None, exhibit, subject, what, why, None, Urgency.SOON, caution, False, settled_by)
