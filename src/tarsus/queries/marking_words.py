"""Why these marks: what the desk says beside a proposal."""

from __future__ import annotations

from collections.abc import Sequence

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.queries.flock import FlockBird
from tarsus.queries.marking_birds import ToMark

SEX_WORDS = {"F": "female", "M": "male", "U": "unsexed"}


def why_these(marks: Marks, wanted: ToMark, rule: MarkRule, flock: Sequence[FlockBird]) -> tuple[str, ...]:
    """Sentences on the side of the metal, on exchanged legs, on bands turned over, on what stays on."""
    said = [_metal(wanted, rule), _exchanged(marks, wanted, flock), _turned(marks, wanted, flock)]
    mate = next((bird.name for bird in flock if str(bird.bird_id) == wanted.mate), "")
    if mate and wanted.bird.form == "wings":
        said.insert(0, f"The colours of its mate {mate} on the opposite side, as mates here are marked.")
    return tuple(sentence for sentence in (*said, stays_on(marks, wanted.bird.marks)) if sentence)


def _metal(wanted: ToMark, rule: MarkRule) -> str:
    site = rule.metal_site(wanted.row)
    sex = SEX_WORDS[wanted.bird.sex]
    if site is None:
        return "No metal until its sex is known." if wanted.bird.sex == "U" else ""
    return f"Metal on the {site.split()[0]}: {'an' if sex == 'unsexed' else 'a'} {sex} here."


def _exchanged(marks: Marks, wanted: ToMark, flock: Sequence[FlockBird]) -> str:
    whose = _worn_by(marks.mirrored(), wanted, flock)
    kind = wanted.bird.lookalike
    limbs = "wings" if all(site.endswith("wing") for site, _ in marks.sites) else "legs"
    return (
        f"With {limbs} swapped it would read as {whose}."
        if whose
        else f"With {limbs} swapped it fits no {kind}."
    )


def _turned(marks: Marks, wanted: ToMark, flock: Sequence[FlockBird]) -> str:
    for site, bands in marks.sites:
        for at in range(len(bands) - 1):
            turned = (*bands[:at], bands[at + 1], bands[at], *bands[at + 2 :])
            if turned == bands:
                continue
            other = Marks.of(dict(marks.sites) | {site: turned})
            whose = _worn_by(other, wanted, flock)
            if whose:
                return f"With the order swapped it would read as {whose}."
    return ""


def _worn_by(marks: Marks, wanted: ToMark, flock: Sequence[FlockBird]) -> str:
    names = [bird.name for bird in flock if bird.marks == marks and bird.bird_id != wanted.bird.bird_id]
    return " or ".join(names)


def stays_on(marks: Marks, worn: Marks) -> str:
    """What of the bands a bird wears may stay, and how many are to be fitted."""
    kept = to_fit = 0
    for site, bands in marks.sites:
        same = 0
        for old, new in zip(worn.at(site), bands, strict=False):
            if old != new:
                break
            same += 1
        kept += same
        to_fit += len(bands) - same
    if not kept:
        return ""
    what = (
        "its metal"
        if kept == 1 and any(METAL in bands for _, bands in worn.sites)
        else f"{kept} of its bands"
    )
    return f"Keeps {what}: {to_fit} to fit."
