"""How often a photograph's colours and birds are named wrongly, and how often with a colour chart beside it.

    .venv/bin/python benchmarks/photographs.py [PHOTOGRAPHS]

Everything is simulated; no real picture stands behind it. A band's reflectance is recovered from its colour,
fades towards a dull white and is covered by mud by the wavelength; lights are published illuminants
(daylights, lamps, tubes, LEDs), mixed; the two cameras are measured ones of a colour library, one with a
mosaic of filters as phones have and one with a stacked sensor, with white balance of varying success, noise,
exposure and clipping. Nothing of this is what the model assumes: it knows casts of CAT16, not spectra. Beside
ours: the nearest colour of the palette (CIEDE2000) on the same pixels, as it is and without the metal's cast.
"""

from __future__ import annotations

import sys
import time
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.photographs.ageing import CheckedBand, aged_by_checks
from tarsus.core.photographs.cameras import AS_THOUGHT
from tarsus.core.photographs.colours import Photographed, photographed
from tarsus.core.photographs.light import LUMINANCE, SRGB_TO_XYZ
from tarsus.core.photographs.pixels import linear, tapped
from tarsus.core.photographs.renderings import renderings
from tarsus.core.photographs.whose import posterior, reader_of_photographs
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

LIGHTS = ("D50", "D55", "D65", "D75", "A", "FL2", "FL7", "FL11", "LED-B2", "LED-B4", "LED-V1")
USUAL, FAST = (1.0, 6.0), (3.0, 4.0)
"""How far bands have faded (beta distributions): by a seventh in the mean, or by three sevenths."""
SHAPE = colour.SpectralShape(400, 700, 10)
Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class World:
    """Spectra on one grid of wavelengths W: K bands, two coats, lights, cameras (3 sensitivities each)."""

    bands: Array
    dull: Array
    mud: Array
    lights: Array
    cameras: list[Array]


def world() -> World:
    """Everything that is lit and looked through."""
    bands = []
    for _, value in BUILT_IN.colours:
        light = linear(np.array([int(value[at : at + 2], 16) for at in (1, 3, 5)], dtype=float))
        sd = colour.recovery.RGB_to_sd_Mallett2019(light)
        bands.append(np.clip(_on_grid(sd), 0.01, 0.97))
    waves = np.arange(400, 701, 10)
    cameras = [_on_grid(msds) for msds in colour.MSDS_CAMERA_SENSITIVITIES.values()]
    lights = np.array([_on_grid(colour.SDS_ILLUMINANTS[name]) for name in LIGHTS])
    return World(
        np.array(bands),
        np.full(len(waves), 0.55),
        0.06 + 0.22 / (1 + np.exp(-(waves - 570) / 45)),
        lights / lights.mean(axis=1, keepdims=True),
        [np.clip(camera, 0, None) for camera in cameras],
    )


def _on_grid(spectrum: Any) -> Array:
    return np.asarray(spectrum.copy().align(SHAPE).values, dtype=float)


@dataclass(frozen=True)
class Picture:
    """One photograph: what was tapped, and what the bands really are."""

    bands: list[Array]
    metal: Array | None
    mean: float
    colours: tuple[int, ...]


def picture(
    rng: np.random.Generator,
    around: World,
    camera: Array,
    colours: tuple[int, ...],
    fast: frozenset[int] = frozenset(),
) -> Picture:
    """A photograph of one leg's colour bands with a metal band in it; some colours may fade faster."""
    one, other = rng.integers(len(around.lights), size=2)
    share = rng.beta(3, 1)
    light = share * around.lights[one] + (1 - share) * around.lights[other]
    matrix = _camera_matrix(camera, around)
    white = light @ camera
    balance = white ** rng.beta(4, 1.2) * np.exp(rng.normal(0, 0.05, 3))
    stop = rng.normal(-0.4, 0.9)

    def shown(reflectance: Array, n: int, spread: float) -> Array:
        raw = (reflectance * light) @ camera / balance * (white / balance).mean() ** -1
        scene = np.clip(matrix @ raw, 0, None) * 2.0**stop
        shades = np.exp(rng.normal(0, spread)) * np.exp(rng.normal(0, 0.05, (n, 1)))
        noisy = scene * shades + rng.normal(0, 0.004, (n, 3))
        encoded = np.asarray(colour.models.eotf_inverse_sRGB(np.clip(noisy, 0, 1))) * 255
        return np.round(np.clip(encoded, 0, 255))

    bands = []
    for kind in colours:
        fade, mud = rng.beta(*(FAST if kind in fast else USUAL)), rng.beta(0.6, 4)
        aged = (1 - fade) * around.bands[kind] + fade * around.dull
        bands.append(shown((1 - mud) * aged + mud * around.mud, 25, 0.18))
    metal = shown(np.full(len(around.dull), 0.45), 15, 0.5)
    mean = float(np.clip(0.2 * 2.0**stop * np.exp(rng.normal(0, 0.3)), 0.01, 0.9))
    return Picture(bands, metal, mean, colours)


def _camera_matrix(camera: Array, around: World) -> Array:
    """What a maker fits: raw of the bands in daylight to their linear sRGB, white kept white."""
    daylight = around.lights[2]
    raw = (around.bands * daylight) @ camera / (daylight @ camera)
    target = linear(
        np.array([[int(v[i : i + 2], 16) for i in (1, 3, 5)] for _, v in BUILT_IN.colours], float)
    )
    weight = 50.0
    stacked = np.vstack([raw, weight * np.ones((1, 3))])
    wanted = np.vstack([target, weight * np.ones((1, 3))])
    return np.asarray(np.linalg.lstsq(stacked, wanted, rcond=None)[0].T)


def nearest(pictures: list[Picture], *, balanced: bool) -> list[list[int]]:
    """The palette colour nearest to each band by CIEDE2000."""
    lab = colour.XYZ_to_Lab(
        linear(np.array([[int(v[i : i + 2], 16) for i in (1, 3, 5)] for _, v in BUILT_IN.colours], float))
        @ SRGB_TO_XYZ.T
    )
    told = []
    for one in pictures:
        taps = tapped(one.bands, one.metal, one.mean)
        gain = np.ones(3)
        if balanced and taps.cast is not None:
            gain = np.exp([-taps.cast[0], 0.0, -taps.cast[1]])
            gain /= gain @ LUMINANCE
        looks = colour.XYZ_to_Lab(taps.bands * gain @ SRGB_TO_XYZ.T)
        told.append([int(np.argmin(colour.delta_E(look[None], lab, method="CIE 2000"))) for look in looks])
    return told


def flock(rng: np.random.Generator, size: int) -> list[tuple[int, ...]]:
    """Distinct stacks of two or three colours for so many birds."""
    found: dict[tuple[int, ...], None] = {}
    while len(found) < size:
        found[tuple(int(k) for k in rng.integers(len(BUILT_IN.names), size=rng.integers(2, 4)))] = None
    return list(found)


def main() -> int:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 600
    rng = np.random.default_rng(20261127)
    around = world()
    stacks = flock(rng, 60)
    birds = [
        Bird(str(at), Marks.of({"left leg": [BUILT_IN.names[k] for k in stack], "right leg": ["metal"]}))
        for at, stack in enumerate(stacks)
    ]
    for name, camera in zip(("a mosaic of filters", "a stacked sensor"), around.cameras, strict=True):
        who = [int(at) for at in rng.integers(len(stacks), size=count)]
        pictures = [picture(rng, around, camera, stacks[at]) for at in who]
        print(f"{count} simulated photographs by {name}")
        _weighed(birds, pictures, who)
    every = frozenset(range(len(BUILT_IN.names)))
    print(
        f"each colour by its checks in the hand, {CHECKED} bands of each, {count} legs by a mosaic of filters"
    )
    for said, parks, looked in (
        ("one colour fades fast", [frozenset({k}) for k in every], 1.0),
        ("the same, half of the faded called so", [frozenset({k}) for k in every], 0.5),
        ("none does", [frozenset[int]()] * len(every), 1.0),
        ("none does, half of the faded called so", [frozenset[int]()] * len(every), 0.5),
        ("all do", [every] * len(every), 1.0),
    ):
        _checked(rng, around, said, parks, looked, count)
    return 0


CHECKED = 30


def called(rng: np.random.Generator, fast: frozenset[int], looked: float) -> list[CheckedBand]:
    """Checks of a park's bands: those that lost more than about a quarter are called faded, if looked at."""
    told = []
    for kind, name in enumerate(BUILT_IN.names):
        for fade in rng.beta(*(FAST if kind in fast else USUAL), size=CHECKED):
            faded = rng.random() < looked / (1 + np.exp(-(fade - 0.25) / 0.05))
            told.append(CheckedBand(name, 4.0, 4.0, bool(faded)))
    return told


def _checked(
    rng: np.random.Generator,
    around: World,
    said: str,
    parks: list[frozenset[int]],
    looked: float,
    count: int,
) -> None:
    """A park for each colour: its checks, then legs that wear that colour, weighed without and with them."""
    looks = renderings(BUILT_IN)
    kinds = len(BUILT_IN.names)
    told: dict[str, list[tuple[float, ...]]] = {"of it": [], "others": []}
    for at in range(count):
        kind = at % kinds
        camera = aged_by_checks(called(rng, parks[kind], looked))
        rest = [int(k) for k in rng.integers(kinds, size=rng.integers(1, 3))]
        colours = (kind, *rest)
        one = picture(rng, around, around.cameras[0], colours, parks[kind])
        taps = tapped(one.bands, one.metal, one.mean)
        before, after = (photographed(looks, taps, by).chances for by in (AS_THOUGHT, camera))
        for band, true in enumerate(colours):
            losses = -np.log(before[band, true]), -np.log(after[band, true])
            wrong = before[band].argmax() != true, after[band].argmax() != true
            told["others" if band else "of it"].append((*wrong, *losses))
    for whose, rows in told.items():
        each = np.array(rows, dtype=float)
        gain = each[:, 2] - each[:, 3]
        print(
            f"  {said:<38} {whose:<7} wrong {each[:, 0].mean():.3f} → {each[:, 1].mean():.3f}   log loss"
            f" {each[:, 2].mean():.3f} → {each[:, 3].mean():.3f}, less by {gain.mean():.3f}"
            f" ± {gain.std() / len(gain) ** 0.5:.3f}"
        )


def _weighed(birds: list[Bird], pictures: list[Picture], who: list[int]) -> None:
    looks = renderings(BUILT_IN)
    started = time.process_time()
    photos = [photographed(looks, tapped(one.bands, one.metal, one.mean)) for one in pictures]
    spent = time.process_time() - started
    truth = np.concatenate([one.colours for one in pictures])
    chances = np.concatenate([photo.chances for photo in photos])
    plain = np.concatenate(nearest(pictures, balanced=False))
    wrong = {
        "nearest palette colour": plain != truth,
        "the same, the metal's cast taken out": np.concatenate(nearest(pictures, balanced=True)) != truth,
        "all weighed together": chances.argmax(axis=1) != truth,
    }
    floor = wrong["nearest palette colour"].mean()
    for name, missed in wrong.items():
        se = (missed.mean() * (1 - missed.mean()) / len(truth)) ** 0.5
        print(
            f"  colour wrong  {name:<38} {missed.mean():.3f} ± {se:.3f}   ratio {missed.mean() / floor:.2f}"
        )
    own = chances[np.arange(len(truth)), truth]
    print(f"  log loss {-np.log(own).mean():.3f}   (knowing nothing {np.log(len(BUILT_IN.names)):.3f})")
    print(f"  calibration error {_calibration(chances, truth):.3f}")
    best_two = np.argsort(-chances, axis=1)[:, :2]
    missed_two = [t not in two for t, two in zip(truth, best_two, strict=True)]
    print(f"  not among the likeliest two {np.mean(missed_two):.3f}")
    _birds(birds, pictures, photos, who, plain)
    print(f"  {1000 * spent / len(truth):.1f} ms of processor a band, {len(truth)} bands")


def _calibration(chances: Array, truth: Array) -> float:
    best = chances.max(axis=1)
    right = chances.argmax(axis=1) == truth
    bins = np.minimum((best * 10).astype(int), 9)
    return float(
        sum(abs(best[bins == b].mean() - right[bins == b].mean()) * (bins == b).mean() for b in set(bins))
    )


def _birds(
    birds: list[Bird], pictures: list[Picture], photos: list[Photographed], who: list[int], plain: Array
) -> None:
    stacks = {tuple(bird.marks.at("left leg")): at for at, bird in enumerate(birds)}
    herd = Flock(birds, Misreading.of(reader_of_photographs(TRAINED), BUILT_IN))
    named, looked_up, begin = 0, 0, 0
    for one, photo, at in zip(pictures, photos, who, strict=True):
        count = len(one.colours)
        layout = {"left leg": tuple(range(count)), "right leg": ("metal",)}
        named += int(posterior(herd, photo, layout).birds.argmax()) != at
        read = tuple(BUILT_IN.names[k] for k in plain[begin : begin + count])
        looked_up += stacks.get(read) != at
        begin += count
    total = len(pictures)
    print(f"  bird of {len(birds)} wrong  by nearest colours, looked up {looked_up / total:.3f}")
    print(f"  bird of {len(birds)} wrong  by the reader {named / total:.3f}   ratio {named / looked_up:.2f}")


if __name__ == "__main__":
    raise SystemExit(main())
