"""How often a flock is misnamed, against enumeration by hand and by readings drawn."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from tarsus.core.choosing.clarity import Clarity, _drawn, flock_clarity
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
READER = Reader(swap=0.1, flip=0.05, colour=0.0, overlook=0.02, lost=0.01, confusion={"red": {"orange": 0.2}})


def bird(name, left, right, **more):
    return Bird(name, Marks.of({"left leg": left, "right leg": right}), **more)


@pytest.fixture
def misreading():
    return Misreading.of(READER, PALETTE)


@pytest.fixture
def flock():
    return [
        bird("Kelp", ["metal"], ["red", "blue"], prior=1.0),
        bird("Wrack", ["metal"], ["orange", "blue"], prior=2.0),
        bird("Dulse", ["red", "blue"], ["metal"], prior=1.0),
        bird("Sorrel", ["blue"], ["red"], prior=1.5),
    ]


def enumerated(flock, misreading):
    """Every reading of both legs, one by one, by Bayes' rule."""
    reads = [read for length in range(3) for read in product(misreading.words, repeat=length)]
    share = np.array([one.prior for one in flock])
    share = share / share.sum()
    confused = np.zeros((len(flock), len(flock)))
    sure = [0.0, 0.0]
    for left, right in product(reads, reads):
        reading = Reading.of({"left leg": left, "right leg": right})
        chance = np.array([misreading.reading_chance(reading, one.marks) for one in flock])
        weight = share * chance
        if weight.sum() == 0:
            continue
        confused[:, weight.argmax()] += chance
        if weight.max() >= 0.95 * weight.sum():
            sure[0] += weight.sum() - weight.max()
        else:
            sure[1] += weight.sum()
    np.fill_diagonal(confused, 0.0)
    return confused, share, sure


def test_a_flock_is_misnamed_as_often_as_all_its_readings_say(flock, misreading):
    confused, share, sure = enumerated(flock, misreading)
    found = flock_clarity(flock, misreading)
    np.testing.assert_allclose(found.confused, confused, rtol=0.0, atol=1e-12)
    assert found.misnamed == pytest.approx(share @ confused.sum(axis=1), abs=1e-12)
    assert (found.named_wrongly, found.left_in_doubt) == pytest.approx(tuple(sure), abs=1e-12)
    assert not found.drawn
    assert found.uncertainty < 1e-12


@pytest.mark.parametrize("sureness", [0.0, 0.6, 0.95, 0.99])
def test_a_reading_costs_what_is_less_a_wrong_name_or_a_doubt(flock, misreading, sureness):
    """Chow's rule read off the sum itself, reading by reading."""
    reads = [read for length in range(3) for read in product(misreading.words, repeat=length)]
    share = np.array([one.prior for one in flock])
    share = share / share.sum()
    loss = 0.0
    for left, right in product(reads, reads):
        reading = Reading.of({"left leg": left, "right leg": right})
        weight = share * [misreading.reading_chance(reading, one.marks) for one in flock]
        loss += min((1 - sureness) * weight.sum(), weight.sum() - weight.max())
    found = flock_clarity(flock, misreading, sureness=sureness)
    assert found.loss == pytest.approx(loss, abs=1e-12)


def test_red_is_taken_for_orange_and_not_orange_for_red(flock, misreading):
    found = flock_clarity(flock, misreading)
    assert found.confused[0, 1] > 0.1 > 10 * found.confused[1, 0]
    assert found.lookalikes(0, 1)[0][0] == 1
    assert found.worst_pairs(1)[0][:2] in {(0, 1), (0, 2)}


def test_the_worst_pair_is_judged_by_both_directions():
    """Kelp is often named Wrack and never the other way; Dulse and Sorrel are taken for each other more."""
    confused = np.array(
        [[0.0, 0.20, 0.0, 0.0], [0.0, 0.0, 0.0, 0.0], [0.0, 0.01, 0.0, 0.09], [0.0, 0.0, 0.15, 0.0]]
    )
    told = Clarity(0.1, confused.sum(axis=1), confused, 0.0, False, 0.0, 0.0, 0.95)
    assert [pair[:2] for pair in told.worst_pairs()] == [(2, 3), (0, 1), (1, 2)]
    assert [pair[2] for pair in told.worst_pairs()] == pytest.approx([0.12, 0.1, 0.005], abs=1e-15)


def test_birds_of_two_lookalike_groups_are_never_taken_for_each_other(misreading):
    one = bird("Kelp", ["metal"], ["red"], lookalike="avocet")
    other = bird("Reed", ["metal"], ["red"], lookalike="ruff")
    assert flock_clarity([one, other], misreading).misnamed == 0.0


def test_two_birds_with_the_same_marks_are_named_wrongly_half_of_the_time(misreading):
    found = flock_clarity([bird("Kelp", ["metal"], ["red"]), bird("Wrack", ["metal"], ["red"])], misreading)
    assert found.misnamed == pytest.approx(0.5, abs=1e-12)
    np.testing.assert_allclose(found.per_bird, 0.5, rtol=0.0, atol=1e-12)


def test_drawn_readings_agree_with_listed_ones_within_their_standard_error(flock, misreading):
    exact = flock_clarity(flock, misreading)
    share = np.array([one.prior for one in flock])
    share = share / share.sum()
    named, cautious, variance = _drawn(flock, misreading, share, np.random.default_rng(5), 0.95)
    error = float((share**2 * variance).sum()) ** 0.5
    assert 1 - share @ np.diag(named) == pytest.approx(exact.misnamed, abs=4 * error)
    assert cautious[1] == pytest.approx(exact.left_in_doubt, abs=0.02)


def test_a_flock_without_any_weight_is_refused(misreading):
    with pytest.raises(WrongValue, match="prior"):
        flock_clarity([bird("Kelp", ["metal"], ["red"], prior=0.0)], misreading)
