"""What to order of one kind, colour and size of bands, and why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from tarsus.core.words.numbers import in_a_row


@dataclass(frozen=True, slots=True)
class Order:
    """How many to order, 0 for none, and why in words."""

    amount: int
    why: str


def order_of(amount: int, order_below: int, spoken_for: int) -> Order:
    """Say what to order.

    Args:
        amount: how many are there.
        order_below: the park orders below this, up to it.
        spoken_for: how many kept marks wait for.

    Returns:
        As many as bring the drawer up to its mark, or serve all that is kept, whichever is more.
    """
    why = []
    if amount < order_below:
        why.append(f"order below {order_below}")
    if spoken_for > amount:
        why.append(f"kept marks wait for {spoken_for}")
    up_to_its_mark = order_below - amount if amount < order_below else 0
    return Order(max(up_to_its_mark, spoken_for - amount, 0), " · ".join(why))


def one_line(items: Iterable[tuple[int, str, str]]) -> str:
    """Everything to order in one line, by size: *4 orange and 3 green, size 4; 2 green, size 7B*.

    Args:
        items: how many, of what, of which size.
    """
    by_size: dict[str, list[str]] = defaultdict(list)
    for amount, what, size in items:
        by_size[size].append(f"{amount} {what}")
    return "; ".join(f"{in_a_row(what)}, size {size}" for size, what in by_size.items())
