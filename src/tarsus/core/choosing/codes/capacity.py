"""How many birds can be told apart when every two of them differ in enough of their bands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.choosing.codes import algebra
from tarsus.core.choosing.codes.bounds import Bound, upper_bound
from tarsus.core.choosing.codes.fields import next_prime_power, prime_power
from tarsus.core.choosing.codes.search import Effort, searched_code
from tarsus.core.choosing.codes.squares import LAYOUTS, hole_array
from tarsus.core.choosing.codes.words import Words, all_words, completed
from tarsus.core.errors import TooMany, WrongValue

MOST_COLOURS: Final = 26
MOST_WORDS: Final = 2_000_000
MOST_POSITIONS: Final = 26
"""With two colours on more bands there are over 50 times `MOST_WORDS`: refused before any power is taken."""
SEARCHED_WORDS: Final = 50_000
"""Past this many possible words only algebra is asked; a search would not come far."""
SEED: Final = 2

Construction = tuple[str, Callable[[], Words]]


@dataclass(frozen=True)
class Capacity:
    """The best set of combinations found, and the bound on any.

    `combinations` is ``(birds, positions)`` symbols, every two rows at least the distance apart. `proven`
    only where the set reaches `upper_bound`.
    """

    colours: int
    positions: int
    distance: int
    combinations: Words
    upper_bound: int
    method: str

    @property
    def birds(self) -> int:
        """How many birds the found combinations tell apart."""
        return len(self.combinations)

    @property
    def proven(self) -> bool:
        """Whether no larger set can exist."""
        return self.birds == self.upper_bound


def capacity(colours: int, positions: int, distance: int) -> Capacity:
    """Find how many birds can be told apart, and say whether more could be.

    Algebra is asked first (repetition, parity, Reed-Solomon, squares with a hole, products, symbols dropped
    from a larger field's code), then a search for what it leaves open. The same question always has the
    same answer.

    Args:
        colours: how many colours there are, 2 to `MOST_COLOURS`.
        positions: how many bands each bird wears, at least 1.
        distance: in how many bands every two birds must differ, 1 to `positions`.

    Raises:
        WrongValue: a number out of its range.
        TooMany: more combinations than can be listed.

    Assumes:
        Bands may repeat on a bird, every position takes every colour, and bare does not count as one.

    Source:
        docs/science/capacity.md
    """
    _check(colours, positions, distance)
    bound = upper_bound(colours, positions, distance)
    rng = np.random.default_rng(SEED)
    name, best = "repetition code", algebra.repetition(colours, positions)
    for label, construct in _constructions(colours, positions, distance, rng):
        if len(best) >= bound.birds:
            break
        code = construct()
        if len(code) > len(best):
            name, best = label, code
    if len(best) < bound.birds and colours**positions <= SEARCHED_WORDS:
        name, best = _searched(colours, positions, distance, bound, name, best)
    method = f"{name}; at most {bound.birds} by {bound.source}"
    return Capacity(colours, positions, distance, best, bound.birds, method)


def _check(colours: int, positions: int, distance: int) -> None:
    if not 2 <= colours <= MOST_COLOURS:
        raise WrongValue("colours", f"{colours} is out of range; give 2 to {MOST_COLOURS}")
    if positions < 1:
        raise WrongValue("positions", f"{positions} is out of range; a bird wears at least one band")
    if not 1 <= distance <= positions:
        raise WrongValue(
            "distance", f"{distance} is out of range; birds with {positions} bands differ in 1 to {positions}"
        )
    too_long = positions > MOST_POSITIONS
    if too_long or colours ** (positions - distance + 1) > MOST_WORDS or colours**positions > 50 * MOST_WORDS:
        raise TooMany(
            "positions",
            f"{colours} colours on {positions} positions are more combinations than can be listed",
        )


def _constructions(
    colours: int, positions: int, distance: int, rng: np.random.Generator
) -> Iterator[Construction]:
    """Every algebraic code of these figures, the plainest first."""
    dimension = positions - distance + 1
    if distance == 1:
        yield "every combination", lambda: all_words(colours, positions)
        return
    if distance == positions:
        yield "repetition code", lambda: algebra.repetition(colours, positions)
        return
    if distance == 2:
        label = "parity code" if positions > 3 else "parity code (a Latin square)"
        yield label, lambda: algebra.parity(colours, positions)
        return
    if prime_power(colours) and positions <= algebra.longest_reed_solomon(colours, dimension):
        yield (
            f"Reed-Solomon code over {colours} symbols",
            lambda: algebra.reed_solomon(colours, positions, dimension),
        )
    if (colours, positions) in LAYOUTS and distance == positions - 1:
        yield "orthogonal Latin squares with a hole", lambda: _filled_squares(colours, positions, distance)
    for one, other in _factors(colours):
        if one > 1 and all(positions <= algebra.longest_reed_solomon(f, dimension) for f in (one, other)):
            yield (
                f"product of Reed-Solomon codes over {one} and {other} symbols",
                lambda one=one, other=other: algebra.product_code(  # type: ignore[misc]  # defaults bind the loop's values
                    algebra.reed_solomon(one, positions, dimension),
                    one,
                    algebra.reed_solomon(other, positions, dimension),
                ),
            )
    larger = next_prime_power(colours + 1)
    if positions <= algebra.longest_reed_solomon(larger, dimension) and larger**dimension <= MOST_WORDS:
        yield (
            f"symbols dropped from a Reed-Solomon code over {larger}",
            lambda: algebra.with_symbols_dropped(
                algebra.reed_solomon(larger, positions, dimension), larger, colours, rng
            ),
        )


def _factors(number: int) -> Iterator[tuple[int, int]]:
    for one in range(2, number):
        if number % one == 0 and one <= number // one and prime_power(one) and prime_power(number // one):
            yield one, number // one


def _filled_squares(colours: int, positions: int, distance: int) -> Words:
    """The array with a hole, cut to the positions wanted, its hole filled with the best code over its
    symbols.
    """
    layout = LAYOUTS[colours, positions]
    array = hole_array(layout)[:, :positions]
    hole = (
        capacity(layout.empties, positions, distance).combinations
        if layout.empties > 1
        else all_words(1, positions)
    )
    return np.concatenate([array, hole + np.uint8(colours - layout.empties)])


def _searched(
    colours: int, positions: int, distance: int, bound: Bound, name: str, best: Words
) -> tuple[str, Words]:
    universe = all_words(colours, positions)
    extended = completed(best, universe, distance)
    if len(extended) > len(best):
        name, best = f"{name}, completed" if name else "completion word by word", extended
    effort = Effort(240 if len(universe) <= 1000 else 32, 1200)
    found = searched_code(universe, colours, distance, bound.birds, effort, np.random.default_rng(SEED))
    if len(found) > len(best):
        name, best = "orbit search", found
    if len(best) < bound.birds and colours ** (positions + 1) <= SEARCHED_WORDS:
        # A longer code one further apart, one position covered, is a code of these figures.
        longer = searched_code(
            all_words(colours, positions + 1),
            colours,
            distance + 1,
            bound.birds,
            effort,
            np.random.default_rng(SEED),
        )
        if len(longer) > len(best):
            name, best = "orbit search one band longer, one covered", longer[:, :positions]
    return name, best
