"""Learning a reader from confirmed readings: exact where it can be worked, honest where it is drawn."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import betainc, betaln

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.colour_vision import ColourVision
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.readings.chance_prior import chance_prior
from tarsus.core.readings.colour_hypotheses import CAUSES, between
from tarsus.core.readings.earning import Evidence, evidence, followed
from tarsus.core.readings.error_paths import Check, error_paths, possible
from tarsus.core.readings.fitting import Fitter
from tarsus.core.readings.learning import Learned, interval, learn
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader
from tarsus.core.readings.simulation import simulate_reading
from tarsus.core.readings.teaching import MOST_PRACTICE, person_lesson

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
BEFORE = Misreading.of(TRAINED, PALETTE)


def check(read: dict[str, list[str]], worn: dict[str, list[str]], **more: Marks) -> Check:
    return Check(Reading.of(read), Marks.of(worn), **more)


def checks_by(rng: np.random.Generator, truth: Misreading, count: int) -> list[Check]:
    """Females with the metal left, males right, two colours on the other leg; every fifth seen on one leg."""
    checks = []
    for at in range(count):
        two = list(rng.choice(truth.words[1:], 2))
        sides = ([METAL], two) if at % 2 else (two, [METAL])
        worn = Marks.of(dict(zip(("left leg", "right leg"), sides, strict=True)))
        seen = None if at % 5 else ("right leg",)
        checks.append(Check(simulate_reading(rng, worn, truth, sites=seen), worn))
    return checks


def mean_of(draws: np.ndarray) -> float:
    return float(draws.mean())


def test_a_prior_has_its_median_where_the_reader_was() -> None:
    for median in (0.001, 0.022, 0.3):
        prior = chance_prior(median)
        below = np.mean([betainc(0.5, other, median) for other in prior.others])
        assert below == pytest.approx(0.5, rel=1e-9, abs=0)


def test_bands_not_noticed_are_counted_exactly() -> None:
    """Source.

    Bayes' rule for a mixture of Betas, where nothing is hidden: 3 of 40 single bands were not noticed.
    """
    seen = [check({"left leg": ["red"]}, {"left leg": ["red"], "right leg": ["red"]})] * 37
    missed = [check({"left leg": []}, {"left leg": ["red"], "right leg": ["red"]})] * 3
    learned = learn([*seen, *missed], BEFORE, np.random.default_rng(1), draws=3000)
    others = chance_prior(BEFORE.overlook).others
    weights = np.exp(betaln(3.5, others + 37) - betaln(0.5, others))
    expected = float(np.average(3.5 / (3.5 + others + 37), weights=weights))
    draws = learned.chances["overlook"]
    assert mean_of(draws) == pytest.approx(expected, rel=0, abs=4 * draws.std() / np.sqrt(len(draws)))
    # The same bands on both legs: whether they were exchanged cannot be told, and nothing is learned of it.
    untold = interval(learned.chances["swap"])
    assert untold[1] > 0.5


def test_exchanged_legs_and_turned_pairs_are_told_from_wrong_colours() -> None:
    worn = {"left leg": [METAL], "right leg": ["red", "blue"]}
    right = [check(worn, worn)] * 80
    exchanged = [check({"left leg": ["red", "blue"], "right leg": [METAL]}, worn)] * 12
    turned = [check({"left leg": [METAL], "right leg": ["blue", "red"]}, worn)] * 6
    learned = learn([*right, *exchanged, *turned], BEFORE, np.random.default_rng(2), draws=1500)
    assert mean_of(learned.chances["swap"]) == pytest.approx(12 / 98, rel=0, abs=0.015)
    assert mean_of(learned.chances["flip"]) == pytest.approx(6 / 98, rel=0, abs=0.012)
    assert mean_of(learned.colour()) < 0.01


def test_where_a_missed_band_explains_it_the_sides_were_hardly_mixed_up() -> None:
    """One band read left, one worn there and two on the right.

    Mixed up only if one of the two was overlooked too.
    """
    told = check({"left leg": ["?"]}, {"left leg": ["red"], "right leg": ["red", "blue"]})
    alike = {"left leg": ["red"], "right leg": ["red"]}
    bare, seen = check({"left leg": []}, alike), check({"left leg": ["red"]}, alike)
    learned = learn([told] * 600 + [bare] * 60 + [seen] * 240, BEFORE, np.random.default_rng(13), draws=600)
    assert mean_of(learned.chances["swap"]) < 0.01


def test_only_red_is_taken_for_orange_and_not_the_other_way_round() -> None:
    red, orange = {"left leg": ["red"]}, {"left leg": ["orange"]}
    checks = [check(red, red)] * 90 + [check(orange, red)] * 10 + [check(orange, orange)] * 100
    learned = learn(checks, BEFORE, np.random.default_rng(3), draws=1500)
    after = learned.misreading()
    assert after.band_chance("orange", "red") == pytest.approx(0.1, rel=0, abs=0.03)
    assert after.band_chance("red", "orange") < 0.02
    assert sum(after.confusion[after.code["red"]]) == pytest.approx(1, rel=1e-12, abs=0)


def test_metal_taken_for_a_colour_is_learned_though_the_reader_never_did() -> None:
    worn = {"left leg": [METAL]}
    checks = [check(worn, worn)] * 45 + [check({"left leg": ["blue"]}, worn)] * 5
    after = learn(checks, BEFORE, np.random.default_rng(4), draws=600).misreading()
    # Five of fifty, held back by a prior for which metal is as good as never misread.
    assert 0.04 < after.band_chance("blue", METAL) < 0.11
    assert after.band_chance("red", METAL) < 0.02


def test_a_band_not_made_out_teaches_nothing_about_colours() -> None:
    worn = {"left leg": ["red"]}
    unclear = learn([check({"left leg": ["?"]}, worn)] * 200, BEFORE, np.random.default_rng(5), draws=400)
    nothing = learn([], BEFORE, np.random.default_rng(5), draws=400)
    assert interval(unclear.colour())[1] == pytest.approx(interval(nothing.colour())[1], rel=0.5, abs=0)
    assert interval(unclear.chances["overlook"])[1] < interval(nothing.chances["overlook"])[1] / 5


def test_bands_of_the_record_that_are_gone_have_been_lost() -> None:
    record = Marks.of({"left leg": [METAL], "right leg": ["red", "blue"]})
    whole = check(record.as_mapping(), record.as_mapping(), record=record)
    lost = check({"right leg": ["blue"]}, {"left leg": [METAL], "right leg": ["blue"]}, record=record)
    learned = learn([whole] * 38 + [lost] * 6, BEFORE, np.random.default_rng(6), draws=1500)
    assert mean_of(learned.chances["lost"]) == pytest.approx(6 / 132, rel=0, abs=0.01)
    # The keeper did not overlook what was not there.
    assert mean_of(learned.chances["overlook"]) < 0.012


def test_a_reading_with_more_bands_than_are_worn_is_set_aside_by_its_place() -> None:
    worn = {"left leg": ["red"], "right leg": ["red"]}
    odd = check({"left leg": ["red", "red"]}, worn)
    assert not possible(odd)
    learned = learn([check(worn, worn), odd, check(worn, worn)], BEFORE, np.random.default_rng(7), draws=50)
    assert (learned.used, learned.set_aside) == (2, (1,))
    with pytest.raises(UnknownWord, match="'teal'"):
        learn([check({"left leg": ["teal"]}, worn)], BEFORE, np.random.default_rng(7), draws=50)


def test_every_way_of_a_check_is_listed_with_its_share() -> None:
    """The ways of a site sum to the chance of what was read, by the model's own sum."""
    worn, read = ("red", "red", "blue", METAL), ("red", "?", METAL)
    paths = error_paths([check({"left leg": list(read)}, {"left leg": list(worn)})], BEFORE.code)
    cells = np.append(BEFORE.table.ravel(), 1.0)
    orders = np.array([1.0, 1 - BEFORE.flip, BEFORE.flip])
    at = int(paths.straight[0, 1])
    ways = paths.alike[at] * orders[paths.order[at]] * cells[paths.cells[at]].prod(axis=1)
    gone = BEFORE.overlook ** paths.gone[at] * (1 - BEFORE.overlook) ** paths.shown[at]
    without_loss = Misreading(BEFORE.swap, BEFORE.flip, BEFORE.overlook, 0.0, BEFORE.words, BEFORE.confusion)
    assert (ways * gone).sum() == pytest.approx(without_loss.site_chance(read, worn), rel=1e-12, abs=0)


def as_misreading(draws: Learned, at: int) -> Misreading:
    chances = [float(draws.chances[name][at]) for name in ("swap", "flip", "overlook")]
    rows = tuple(tuple(float(c) for c in row) for row in draws.tables[at])
    return Misreading(*chances, 0.0, draws.words, rows)


def test_truths_drawn_from_the_prior_stand_anywhere_among_the_posterior_draws() -> None:
    """Source: simulation-based calibration, Talts et al. 2018 (arXiv 1804.06788): ranks are uniform."""
    rng = np.random.default_rng(8)
    prior = learn([], BEFORE, rng, draws=1200)
    ranks: dict[str, list[float]] = {"swap": [], "flip": [], "overlook": [], "red as orange": []}
    for at in range(0, 1200, 40):
        truth = as_misreading(prior, at)
        learned = learn(checks_by(rng, truth, 30), BEFORE, rng, draws=120)
        for name in ("swap", "flip", "overlook"):
            ranks[name].append(np.mean(learned.chances[name] < getattr(truth, name)))
        cell = learned.tables[:, truth.code["red"], truth.code["orange"]]
        ranks["red as orange"].append(np.mean(cell < truth.band_chance("orange", "red")))
    for name, found in ranks.items():
        # The mean of 30 uniform ranks has a standard error of .053.
        assert np.mean(found) == pytest.approx(0.5, rel=0, abs=4 * 0.053), name
        assert np.mean(np.abs(np.array(found) - 0.5) < 0.475) > 0.8, name


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    """The small copy of benchmarks/learn_coverage.py: 24 keepers, four chances each."""
    held = []
    for seed in range(24):
        rng = np.random.default_rng(seed)
        factor = 1.5 ** rng.uniform(-1, 1, 4)
        swap, flip, colour, overlook = np.array([0.067, 0.04, 0.04, 0.02]) * factor
        truth = Misreading.of(Reader(swap, flip, colour, overlook, 0.0), PALETTE)
        learned = learn(checks_by(rng, truth, 250), BEFORE, rng, draws=200)
        pairs = [(learned.chances[n], getattr(truth, n)) for n in ("swap", "flip", "overlook")]
        pairs.append((learned.colour(), float(1 - np.diagonal(truth.table)[1:].mean())))
        held += [interval(draws)[0] <= true <= interval(draws)[1] for draws, true in pairs]
    # Three standard errors of 96 intervals are .067.
    assert np.mean(held) == pytest.approx(0.95, rel=0, abs=0.067)


def test_intervals_of_single_cells_hold_the_truth_as_often_as_they_say() -> None:
    """A small copy of what benchmarks/learning_worlds.py prints: eight readers whose bands have faded."""
    nine = Palette(BUILT_IN.colours[:9])
    before = Misreading.of(replace(TRAINED, lost=0.0), nine)
    held, rare = [], []
    for seed in range(8):
        rng = np.random.default_rng(40 + seed)
        fades = rng.uniform(0.0, 0.65, 9)
        looks = Palette(
            tuple(
                (name, between(hexed, "#fff4e0", fade))
                for (name, hexed), fade in zip(nine.colours, fades, strict=True)
            )
        )
        truth = Misreading.of(replace(TRAINED, lost=0.0), nine, looks=looks)
        learned = learn(checks_by(rng, truth, 200), before, rng, draws=300, palette=nine)
        low, high = learned.cell_intervals()
        off = ~np.eye(len(truth.words), dtype=bool)
        off[0] = off[:, 0] = False
        held += ((low <= truth.table) & (truth.table <= high))[off].tolist()
        rare += (truth.table[off] < 0.03).tolist()
    # Three standard errors of 576 are .027.
    assert np.mean(held) == pytest.approx(0.95, rel=0, abs=0.03)
    assert np.mean(np.array(held)[rare]) == pytest.approx(0.95, rel=0, abs=0.03)


def test_a_learned_reader_is_used_when_it_foretells_better_and_not_before() -> None:
    rng = np.random.default_rng(10)
    fitter = Fitter(Misreading.of(TRAINED, BUILT_IN), BUILT_IN)
    novice = checks_by(rng, Misreading.of(UNTRAINED, BUILT_IN), 400)
    told = evidence(novice, fitter)
    assert told.earned
    assert told.mean > 0
    like_before = [evidence(checks_by(rng, fitter.before, 60), fitter) for _ in range(12)]
    assert not any(one.earned for one in like_before)
    assert evidence(novice[:10], fitter).checks == 0
    assert followed(novice, fitter)[-1] == pytest.approx(told.nats)
    assert followed(novice[:10], fitter).shape == (0,)


def test_nothing_is_taken_over_that_did_not_foretell() -> None:
    """The sides are mixed up in every fourth reading, colours are read as thought."""
    rng = np.random.default_rng(23)
    fitter = Fitter(BEFORE, PALETTE)
    truth = Misreading(0.25, BEFORE.flip, BEFORE.overlook, 0.0, BEFORE.words, BEFORE.confusion)
    checks = checks_by(rng, truth, 150)
    told, after = evidence(checks, fitter), fitter.fitted(checks).misreading
    used = told.in_use(BEFORE, after)
    assert told.earned
    assert used.swap == pytest.approx(0.25, rel=0, abs=0.08)
    off = [np.abs(one.table - truth.table).sum() for one in (used, after, BEFORE)]
    assert off[2] <= off[0] < off[1] / 2
    untold = Evidence().in_use(BEFORE, after)
    assert BEFORE.swap < untold.swap < used.swap


def test_the_fitted_reader_is_the_drawn_one_in_a_hundredth_of_its_time() -> None:
    """Only reds fade; the sides are often mixed up. Fitted and drawn agree within what draws leave open."""
    rng = np.random.default_rng(21)
    looks = Palette.of({**PALETTE.as_mapping(), "red": "#e07a4a"})
    truth = Misreading.of(Reader(0.15, 0.02, 0.02, 0.01, 0.0), PALETTE, looks=looks)
    checks = checks_by(rng, truth, 300)
    fitted = Fitter(BEFORE, PALETTE).fitted(checks)
    drawn = learn(checks, BEFORE, rng, draws=600, palette=PALETTE)
    for name in ("swap", "flip", "overlook"):
        low, high = interval(drawn.chances[name])
        assert low <= getattr(fitted.misreading, name) <= high
    mean = drawn.misreading()
    np.testing.assert_allclose(fitted.misreading.table, mean.table, rtol=0, atol=0.03)
    red = truth.code["red"]
    assert fitted.misreading.table[red, truth.code["orange"]] > 0.1
    assert fitted.misreading.table[truth.code["orange"], red] < 0.05
    # The red is what faded, not the eyes and not the light.
    assert fitted.colours.faded[0, red] < 0.1
    assert fitted.colours.faded[0, truth.code["blue"]] > 0.5


def test_a_keeper_to_whom_red_and_green_look_alike_is_told_from_faded_bands() -> None:
    rng = np.random.default_rng(22)
    before = Misreading.of(TRAINED, BUILT_IN)
    truth = Misreading.of(TRAINED, BUILT_IN, vision=ColourVision("deutan", 0.9))
    colours = Fitter(before, BUILT_IN).fitted(checks_by(rng, truth, 400)).colours
    by_words: dict[str, float] = {}
    for cause, chance in zip(CAUSES, colours.causes, strict=True):
        by_words[cause.words] = by_words.get(cause.words, 0.0) + chance
    assert by_words["red and green hard to tell apart"] > 0.8
    assert colours.causes.sum() == pytest.approx(1, rel=1e-9, abs=0)


def test_the_same_seed_learns_the_same() -> None:
    checks = checks_by(np.random.default_rng(11), BEFORE, 40)
    once, again = (learn(checks, BEFORE, np.random.default_rng(12), draws=100) for _ in range(2))
    np.testing.assert_array_equal(once.tables, again.tables)


def by_one_who_mixes_sides(seed: int, checks: int, practice: int) -> tuple[list[Check], list[Check]]:
    truth = replace(BEFORE, swap=0.35)
    rng = np.random.default_rng(seed)
    return checks_by(rng, truth, checks), checks_by(rng, truth, practice)


def test_practice_counts_once_it_has_foretold_real_checks_and_never_for_more_than_twenty() -> None:
    own, practice = by_one_who_mixes_sides(3, 60, 60)
    none = person_lesson(own, [], BEFORE, BEFORE, PALETTE)
    few = person_lesson(own[:4], [], BEFORE, BEFORE, PALETTE, practice)
    learned = person_lesson(own, [], BEFORE, BEFORE, PALETTE, practice)
    assert not none.practised
    assert not few.practised, "four checks prove nothing"
    assert few.after == person_lesson(own[:4], [], BEFORE, BEFORE, PALETTE).after
    assert learned.practised
    assert learned.earned
    assert learned.nats > none.nats
    latest = person_lesson(own, [], BEFORE, BEFORE, PALETTE, practice[-MOST_PRACTICE:])
    assert learned == latest, "what came before the latest twenty weighs nothing"
    # As so many checks would, and no more.
    real = Fitter(BEFORE, PALETTE).fitted([*practice[-MOST_PRACTICE:], *own]).misreading
    assert learned.after.swap == pytest.approx(real.swap, rel=0, abs=0.01)


def test_practice_that_says_nothing_of_the_exhibit_is_never_used() -> None:
    mixes = replace(BEFORE, swap=0.35)
    for seed in range(12):
        rng = np.random.default_rng(seed)
        own = checks_by(rng, BEFORE, 60)
        for truth in (BEFORE, mixes):
            practice = checks_by(rng, truth, 20)
            told = person_lesson(own, [], BEFORE, BEFORE, PALETTE, practice)
            assert not told.practised
            assert told == person_lesson(own, [], BEFORE, BEFORE, PALETTE)
