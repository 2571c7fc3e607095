"""The pieces that capacity is built from, each checked against its definition."""

from __future__ import annotations

from itertools import combinations
from math import comb

import numpy as np
import pytest

from tarsus.core.choosing.codes import algebra, bounds
from tarsus.core.choosing.codes.fields import field, next_prime_power, prime_power
from tarsus.core.choosing.codes.search import Effort, heaviest_set, searched_code
from tarsus.core.choosing.codes.squares import EMPTY, LAYOUTS, hole_array, quasi_difference_matrix
from tarsus.core.choosing.codes.words import all_words, completed, least_distance


def test_prime_powers_are_known_from_other_numbers() -> None:
    assert [n for n in range(2, 17) if prime_power(n)] == [2, 3, 4, 5, 7, 8, 9, 11, 13, 16]
    assert prime_power(27) == (3, 3)
    assert next_prime_power(6) == 7


@pytest.mark.parametrize("size", [4, 8, 9, 16, 25])
def test_a_field_of_prime_power_size_keeps_the_laws_of_arithmetic(size: int) -> None:
    gf = field(size)
    a, b, c = np.indices((size, size, size)).reshape(3, -1)
    assert np.array_equal(gf.times[a, gf.add[b, c]], gf.add[gf.times[a, b], gf.times[a, c]])
    assert np.array_equal(gf.times[a, gf.times[b, c]], gf.times[gf.times[a, b], c])
    assert all(sorted(row) == list(range(size)) for row in gf.add)
    assert all(sorted(row[1:]) == list(range(1, size)) for row in gf.times[1:])


def test_there_is_no_field_of_six() -> None:
    with pytest.raises(ValueError, match="no field of 6"):
        field(6)


@pytest.mark.parametrize(
    ("size", "positions", "dimension"),
    [(3, 4, 2), (4, 5, 3), (4, 6, 3), (5, 6, 4), (7, 6, 3), (8, 5, 2), (8, 10, 3), (9, 4, 2)],
)
def test_reed_solomon_meets_the_singleton_bound(size: int, positions: int, dimension: int) -> None:
    code = algebra.reed_solomon(size, positions, dimension)
    assert len(code) == size**dimension
    assert least_distance(code[: size * size]) >= positions - dimension + 1
    assert least_distance(code) == positions - dimension + 1 if len(code) < 700 else True


def test_the_hexacode_is_the_doubly_extended_code_of_length_six() -> None:
    # [6,3,4] over GF(4), weights 0, 4 and 6: 1, 45 and 18 words (Conway & Sloane, Sphere Packings, chapter
    # 3).
    weights = np.count_nonzero(algebra.reed_solomon(4, 6, 3), axis=1)
    assert {int(w): int((weights == w).sum()) for w in np.unique(weights)} == {0: 1, 4: 45, 6: 18}


def test_a_ternary_hamming_code_is_perfect() -> None:
    # The Hamming code [4,2,3] over GF(3), the tetracode: balls of radius one fill the space (Golay 1949).
    code = algebra.reed_solomon(3, 4, 2)
    assert len(code) * (1 + 4 * 2) == 3**4
    assert least_distance(code) == 3


def test_dropping_symbols_keeps_the_distance_and_numbers_anew() -> None:
    code = algebra.with_symbols_dropped(algebra.reed_solomon(5, 6, 4), 5, 4, np.random.default_rng(3))
    assert code.max() == 3
    assert least_distance(code) == 3
    assert len(code) >= 164  # 625 × (4/5)^6 = 163.84, and some choice is above the mean


def test_a_product_multiplies_words_and_symbols() -> None:
    code = algebra.product_code(algebra.reed_solomon(3, 4, 2), 3, algebra.reed_solomon(4, 4, 2))
    assert (len(code), int(code.max()), least_distance(code)) == (9 * 16, 11, 3)


@pytest.mark.parametrize("colours_positions", sorted(LAYOUTS))
def test_between_two_rows_every_difference_stands_once(colours_positions: tuple[int, int]) -> None:
    layout = LAYOUTS[colours_positions]
    columns = quasi_difference_matrix(layout)
    elements = list(np.ndindex(*layout.group))
    for x, y in combinations(range(layout.rows), 2):
        met = [
            tuple((a - b) % m for a, b, m in zip(elements[c[x]], elements[c[y]], layout.group, strict=True))
            for c in columns
            if EMPTY not in (c[x], c[y])
        ]
        assert sorted(met) == elements
    assert least_distance(hole_array(layout)) == layout.rows - 1


def test_the_heaviest_set_of_a_small_graph_is_found() -> None:
    # A path of five with weights 2 3 2 3 2: the two threes (6) tie with the three twos (6); with a 4 in the
    # middle 8.
    clash = np.zeros((5, 5), dtype=bool)
    for i in range(4):
        clash[i, i + 1] = clash[i + 1, i] = True
    chosen = heaviest_set(clash, np.array([2, 3, 4, 3, 2]), 200, 100, np.random.default_rng(1))
    assert chosen.tolist() == [0, 2, 4]


def test_a_search_answers_with_words_that_keep_the_distance() -> None:
    universe = all_words(3, 5)
    code = searched_code(universe, 3, 3, 18, Effort(16, 400), np.random.default_rng(5))
    assert least_distance(code) >= 3
    assert len(code) >= 17


def test_completion_takes_what_is_still_free() -> None:
    code = completed(np.array([[0, 0, 0]], dtype=np.uint8), all_words(2, 3), 3)
    assert code.tolist() == [[0, 0, 0], [1, 1, 1]]


def test_krawtchouk_polynomials_are_orthogonal() -> None:
    # Σ_i C(n,i)(q−1)^i K_k(i) K_l(i) = q^n C(n,k)(q−1)^k when k = l, else 0 (MacWilliams & Sloane 1977, ch.
    # 5 §7).
    q, n = 3, 5
    for k in range(n + 1):
        for m in range(n + 1):
            total = sum(
                comb(n, i) * (q - 1) ** i * bounds.krawtchouk(q, n, k, i) * bounds.krawtchouk(q, n, m, i)
                for i in range(n + 1)
            )
            assert total == (q**n * comb(n, k) * (q - 1) ** k if k == m else 0)


def test_each_classical_bound_gives_its_known_value() -> None:
    assert bounds.singleton(7, 5, 3) == 343
    assert bounds.hamming(3, 4, 3) == 9  # the perfect tetracode
    assert bounds.plotkin(4, 6, 5, 64) == 9  # 6·37 = 222 differences fit for ten words, 225 are needed
    assert bounds.plotkin(4, 6, 5, 10) == 9, "the tenth is asked too where no more are wanted"
    assert bounds.plotkin(4, 6, 5, 9) == 9
    assert bounds.plotkin(3, 6, 5, 9) == 4
    # Delsarte's programme for the binary code of length 13 and distance 6 gives 40 (MacWilliams & Sloane,
    # ch. 17 §4).
    assert bounds.delsarte(2, 13, 6) == 40
