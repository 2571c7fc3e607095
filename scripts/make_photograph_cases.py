"""Write tests/published/photograph_cases.json: small photographs and what they tell, worked out another way.

    .venv/bin/python scripts/make_photograph_cases.py

Nothing of the core is called. The adaptation matrix, the transfer function and the Planckian locus come from
a colour library (colour-science); the weighing is written out with plain loops over every light, exposure,
colour and way of ageing. Whole birds are weighed light by light, each site by listing which bands are gone
and which pair is turned over, where the core mixes joint colourings: they meet only if both are right.
"""

from __future__ import annotations

import itertools
import json
import math
import random
import warnings
from pathlib import Path
from typing import Any

import numpy as np

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

TARGET = Path(__file__).resolve().parents[1] / "tests" / "published" / "photograph_cases.json"
PALETTE = {
    "red": "#c8102e",
    "orange": "#f27d00",
    "yellow": "#ffd60a",
    "lime": "#b0dc2c",
    "green": "#0b7038",
    "blue": "#1b4dbf",
    "pink": "#f7a3c6",
    "white": "#ffffff",
}
AGEING = [(0.35, 0, 0), (0.17, 0.15, 0), (0.12, 0.3, 0), (0.15, 0, 0.17), (0.09, 0, 0.38), (0.12, 0.15, 0.25)]
MUD = (0.20, 0.155, 0.10)
STOPS = [-4 + 0.5 * step for step in range(12)]
Triple = tuple[float, float, float]


def linear(code: float) -> float:
    """A code of sRGB as linear light, by the library."""
    return float(colour.models.eotf_sRGB(code / 255.0))


def sheet(mired: float, duv: float) -> Triple:
    """White under a light: the library's Krystek polynomial, its matrix from XYZ."""
    kelvin = 1e6 / mired
    u0, v0 = colour.temperature.CCT_to_uv_Krystek1985(kelvin * 0.999)
    u1, v1 = colour.temperature.CCT_to_uv_Krystek1985(kelvin * 1.001)
    u, v = colour.temperature.CCT_to_uv_Krystek1985(kelvin)
    length = math.hypot(u1 - u0, v1 - v0)
    du, dv = -(v1 - v0) / length, (u1 - u0) / length
    if dv < 0:
        du, dv = -du, -dv
    x, y = colour.models.UCS_uv_to_xy([u + duv * du, v + duv * dv])
    light = np.array([x / y, 1.0, (1 - x - y) / y])
    return tuple(max(float(c), 0.02) for c in FROM_XYZ @ light)  # type: ignore[return-value]  # three numbers


TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
FROM_XYZ = np.linalg.inv(TO_XYZ)
CAT16 = colour.adaptation.CHROMATIC_ADAPTATION_TRANSFORMS["CAT16"]


def casts() -> list[tuple[Triple, float]]:
    """Every cast and the logarithm of its weight."""
    neutral = sheet(153.75, 0.0032)
    found = []
    for step in range(14):
        for duv in (-0.03, -0.02, -0.01, 0.0, 0.01, 0.02, 0.03):
            mired = -110 + 26 * step
            white = [a / b for a, b in zip(sheet(153.75 + mired, duv + 0.0032), neutral, strict=True)]
            bright = 0.2126 * white[0] + 0.7152 * white[1] + 0.0722 * white[2]
            weight = -2 * math.log1p((mired / 50) ** 2 / 3) - 2 * math.log1p((duv / 0.01) ** 2 / 3)
            found.append((tuple(channel / bright for channel in white), weight))
    return found  # type: ignore[return-value]  # three numbers


def adapted(white: Triple, light: Triple) -> list[float]:
    """A colour under a cast: von Kries in the library's CAT16."""
    response = CAT16 @ (TO_XYZ @ light)
    gain = (CAT16 @ (TO_XYZ @ white)) / (CAT16 @ (TO_XYZ @ [1.0, 1.0, 1.0]))
    back = FROM_XYZ @ np.linalg.solve(CAT16, response * gain)
    return [max(float(channel), 0.0) for channel in back]


def fits(
    pixel: Triple, looks: list[list[Triple]], stop: float, ageing: list[list[float]], power: float
) -> list[float]:
    """How well each colour explains a band under one light and exposure."""
    own = [0.8 * max(channel, 0) ** (1 / 2.4) for channel in pixel]
    told = []
    for own_ageing, ways in zip(ageing, looks, strict=True):
        chance = 0.0
        for weight, look in zip(own_ageing, ways, strict=True):
            shown = [0.8 * min(channel * 2**stop, 1) ** (1 / 2.4) for channel in look]
            apart = [a - b for a, b in zip(own, shown, strict=True)]
            # Student t over a covariance of noise everywhere and more along the rendering itself.
            extra = 0.25**2 / 9
            bright = sum(channel**2 for channel in shown)
            along = sum(a * b for a, b in zip(apart, shown, strict=True))
            square = sum(a * a for a in apart) / 0.028**2
            square -= extra * along**2 / (0.028**2 * (0.028**2 + extra * bright))
            scale = math.sqrt(0.028**2 / (0.028**2 + extra * bright))
            chance += weight * scale * (1 + square / 8) ** (-(8 + 3) / 2)
        told.append(chance)
    any_colour = sum(told) / len(told)
    return [(0.99 * chance + 0.01 * any_colour) ** power for chance in told]


def median(values: list[float]) -> float:
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def cast_of(metal: list[list[float]] | None) -> list[float] | None:
    good = [p for p in metal or [] if 20 < max(p) < 250]
    if len(good) < 3:
        return None
    told = []
    for channel in (0, 2):
        pairs = []
        for pixel in good:
            light = [max(linear(code), 1e-3) for code in pixel]
            weight = 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]
            pairs.append((math.log(light[channel] / light[1]), weight))
        pairs.sort()
        half, running = sum(weight for _, weight in pairs) / 2 - 1e-12, 0.0
        for ratio, weight in pairs:
            running += weight
            if running >= half:
                told.append(ratio)
                break
    return told


def cells(case: dict[str, Any], looks: list[Any]) -> list[tuple[float, list[list[float]]]]:
    """Weight of every light and exposure, and how well each colour explains each band there."""
    pixels = [tuple(median([linear(p[c]) for p in band]) for c in range(3)) for band in case["bands"]]
    cast = cast_of(case["metal"])
    camera = case.get("camera", {"exponent": 1, "ageing": [weight for weight, _, _ in AGEING]})
    own_ageing = camera.get("ageing_of", {})
    learned = ([own_ageing.get(name, camera["ageing"]) for name in PALETTE], camera["exponent"])
    found = []
    for (white, weight), under in zip(CASTS, looks, strict=True):
        if cast is not None:
            ratios = (math.log(white[0] / white[1]), math.log(white[2] / white[1]))
            apart = sum(((a - b) / 0.13) ** 2 for a, b in zip(cast, ratios, strict=True))
            weight -= 2.5 * math.log1p(apart / 3)
        for stop in STOPS:
            exposed = -0.5 * (stop - math.log2(case["mean"]) - 2.2) ** 2
            found.append((weight + exposed, [fits(pixel, under, stop, *learned) for pixel in pixels]))
    most = max(weight for weight, _ in found)
    return [(math.exp(weight - most), bands) for weight, bands in found]


def rows(found: list[tuple[float, list[list[float]]]], bands: int) -> list[list[float]]:
    """Chance of each colour for each band, the others' word on the light taken in."""
    told = []
    for own in range(bands):
        row = [0.0] * len(PALETTE)
        for weight, each in found:
            others = math.prod(sum(e) / len(e) for at, e in enumerate(each) if at != own)
            row = [sum_ + weight * others * chance for sum_, chance in zip(row, each[own], strict=True)]
        told.append([chance / sum(row) for chance in row])
    return told


def site(read: list[Any], worn: list[str], reader: dict[str, float], each: list[list[float]]) -> float:
    """Chance of what is in the picture on one site, by listing what may have gone wrong."""
    gone = 1 - (1 - reader["lost"]) * (1 - reader["overlook"])
    names = list(PALETTE)
    chance = 0.0
    for kept in itertools.product((False, True), repeat=len(worn)):
        left = [band for band, keep in zip(worn, kept, strict=True) if keep]
        if len(left) != len(read):
            continue
        share = math.prod(1 - gone if keep else gone for keep in kept)
        ways = [(left, 1.0)]
        if len(left) > 1:
            turned = [[*left[:i], left[i + 1], left[i], *left[i + 2 :]] for i in range(len(left) - 1)]
            ways = [(left, 1 - reader["flip"]), *((way, reader["flip"] / len(turned)) for way in turned)]
        for way, way_share in ways:
            seen = 1.0
            for told, band in zip(read, way, strict=True):
                if told == "?":
                    continue
                if isinstance(told, str):
                    seen *= told == band
                elif band == "metal":
                    seen = 0.0
                elif band == "any":
                    seen *= sum(each[told]) / len(each[told])
                else:
                    seen *= each[told][names.index(band)]
            chance += share * way_share * seen
    return chance


def candidates(case: dict[str, Any], found: list[tuple[float, list[list[float]]]]) -> dict[str, float]:
    """Chance of every bird and of none, light by light."""
    reader, birds = case["reader"], case["birds"]
    strangers = 0.001
    mirror = {"left leg": "right leg", "right leg": "left leg"}
    layouts: dict[str, int] = {}
    for bird in birds:
        open_marks = {
            s: ["metal" if b == "metal" else "any" for b in bands] for s, bands in bird["marks"].items()
        }
        key = json.dumps(open_marks, sort_keys=True)
        layouts[key] = layouts.get(key, 0) + 1
    told = {bird["id"]: 0.0 for bird in birds} | {"none": 0.0}
    who = [(bird["id"], bird["marks"], (1 - strangers) / len(birds)) for bird in birds]
    who += [("none", json.loads(key), strangers * 0.5 * n / len(birds)) for key, n in layouts.items()]
    who += [("none", {}, strangers * 0.25)]
    kept = (1 - reader["lost"]) * (1 - reader["overlook"])
    another = kept / (1 + kept)
    words = len(PALETTE) + 1
    for weight, each in found:
        for name, marks, prior in who:
            straight = crossed = 1.0
            for at, read in case["worn"].items():
                straight *= site(read, marks.get(at, []), reader, each)
                crossed *= site(read, marks.get(mirror[at], []), reader, each)
            told[name] += weight * prior * ((1 - reader["swap"]) * straight + reader["swap"] * crossed)
        otherwise = strangers * 0.25
        for read in case["worn"].values():
            otherwise *= 1 - another
            for band in read:
                shown = (
                    1.0 if band == "?" else 1 / words if isinstance(band, str) else sum(each[band]) / words
                )
                otherwise *= another * shown
        told["none"] += weight * otherwise
    whole = sum(told.values())
    return {name: chance / whole for name, chance in told.items()}


def render(
    rng: random.Random, name: str, white: Triple, stop: float, fade: float, mud: float
) -> list[list[int]]:
    """Five pixels of a band as a camera may have taken it."""
    new = [linear(int(PALETTE[name][at : at + 2], 16)) for at in (1, 3, 5)]
    aged = tuple((1 - mud) * ((1 - fade) * c + fade * 0.55) + mud * m for c, m in zip(new, MUD, strict=True))
    look = adapted(white, aged)  # type: ignore[arg-type]  # three numbers
    shade = rng.uniform(0.75, 1.15)
    return [
        [_code(channel * 2**stop * shade * rng.uniform(0.94, 1.06)) for channel in look] for _ in range(5)
    ]


def grey(rng: random.Random, white: Triple, level: float) -> list[list[int]]:
    return [[_code(channel * level * rng.uniform(0.8, 1.2)) for channel in white] for _ in range(7)]


def _code(light: float) -> int:
    return round(255 * float(colour.models.eotf_inverse_sRGB(min(max(light, 0.0), 1.0))))


CASTS = casts()


def main() -> int:
    """Write the cases."""
    rng = random.Random(20261127)
    looks = []
    for white, _ in CASTS:
        under = []
        for value in PALETTE.values():
            new = [linear(int(value[at : at + 2], 16)) for at in (1, 3, 5)]
            under.append(
                [
                    adapted(
                        white,
                        tuple(
                            (1 - m) * ((1 - f) * c + f * 0.55) + m * mud
                            for c, mud in zip(new, MUD, strict=True)
                        ),  # type: ignore[arg-type]  # three numbers
                    )
                    for _, f, m in AGEING
                ]
            )
        looks.append(under)
    cases = []
    plain = [
        ("daylight, all good", 45, -0.5, ["red", "blue"], 0.0, 0.0, True),
        ("lamplight: red asks to be orange", 87, -1.0, ["red", "yellow"], 0.0, 0.0, True),
        ("blue shade, underexposed", 12, -3.0, ["green", "white"], 0.15, 0.0, True),
        ("no metal in the picture", 73, -1.0, ["orange", "pink"], 0.3, 0.0, False),
        ("mud over lime", 45, -0.5, ["lime", "white", "green"], 0.0, 0.38, True),
        ("one band alone", 59, -1.5, ["yellow"], 0.15, 0.17, True),
    ]
    strange = {"exponent": 0.45, "ageing": [0.05, 0.1, 0.6, 0.05, 0.05, 0.15]}
    plain.append(("a strange camera, bands faded", 65, -1.0, ["lime", "pink"], 0.3, 0.0, True))
    one_fades = {
        "exponent": 1.0,
        "ageing": [0.37, 0.16, 0.1, 0.15, 0.1, 0.12],
        "ageing_of": {"orange": [0.1, 0.2, 0.5, 0.05, 0.05, 0.1], "lime": [0.6, 0.1, 0.02, 0.15, 0.09, 0.04]},
    }
    plain.append(("a park whose orange fades fastest", 45, -0.5, ["orange", "pink"], 0.3, 0.0, True))
    for name, cast, stop, bands, fade, mud, metal in plain:
        white = CASTS[cast][0]
        case: dict[str, Any] = {
            "name": name,
            "mean": round(0.2176 * 2**stop * rng.uniform(0.7, 1.4), 4),
            "metal": grey(rng, white, 0.3 * 2 ** min(stop, 0)) if metal else None,
            "bands": [render(rng, band, white, stop, fade, mud) for band in bands],
        }
        if name.startswith("a strange camera"):
            case["camera"] = strange
        if name.startswith("a park whose orange"):
            case["camera"] = one_fades
        found = cells(case, looks)
        case["cast"] = cast_of(case["metal"])
        case["chances"] = rows(found, len(bands))
        if len(bands) > 1:
            case |= _flock(bands)
            told = candidates(case, found)
            case["none_of_these"] = told.pop("none")
            case["candidates"] = told
        cases.append(case)
    told = {
        "what": "Tapped pixels of photographs, and what they tell",
        "source": "scripts/make_photograph_cases.py: plain loops, a colour library's matrices",
        "palette": PALETTE,
        "cases": cases,
    }
    TARGET.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")
    print(f"wrote {len(cases)} cases")
    return 0


def _flock(bands: list[str]) -> dict[str, Any]:
    """Four birds, lopsided: the right one, sides exchanged, one nearly alike, one with a band more."""
    upper, *lower = bands
    near = {"red": "orange", "orange": "yellow", "green": "blue", "lime": "yellow"}[upper]
    return {
        "reader": {"swap": 0.03, "flip": 0.02, "overlook": 0.01, "lost": 0.005},
        "birds": [
            {"id": "the bird", "marks": {"left leg": [upper, *lower], "right leg": ["metal"]}},
            {"id": "exchanged", "marks": {"right leg": [upper, *lower], "left leg": ["metal"]}},
            {"id": "nearly alike", "marks": {"left leg": [near, *lower], "right leg": ["metal"]}},
            {"id": "one more", "marks": {"left leg": [upper, *lower, "pink"], "right leg": ["metal"]}},
        ],
        "worn": {"left leg": list(range(len(bands))), "right leg": ["metal"]},
    }


if __name__ == "__main__":
    raise SystemExit(main())
