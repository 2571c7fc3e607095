"""What writes the deeds by which a bird is known."""

from __future__ import annotations

from typing import Final

from tarsus.actions.birds.identity import (
    give_transponder,
    note_natural_mark,
    pair_birds,
    part_pair,
    record_sex_finding,
    review_natural_mark,
    take_sex_sample,
)
from tarsus.actions.hearing.bound import Bound, fact, spell
from tarsus.actions.hearing.taking_back import begun, ended
from tarsus.records.models import NaturalMark, Pair, Transponder

IDENTITY: Final[dict[str, Bound]] = {
    "sex_sample": fact("sex_sample", take_sex_sample),
    "sex_finding": fact("sex_finding", record_sex_finding),
    "transponder_given": spell(
        "transponder_given", give_transponder, row="transponder", take_back=begun(Transponder)
    ),
    "natural_mark": spell("natural_mark", note_natural_mark, row="mark", take_back=begun(NaturalMark)),
    "natural_mark_reviewed": spell("natural_mark_reviewed", review_natural_mark, deed=False),
    "pair_formed": spell(
        "pair_formed", pair_birds, row="pair", one="one", other="other", take_back=begun(Pair)
    ),
    "pair_parted": spell("pair_parted", part_pair, deed=False, take_back=ended(Pair, "pair", "why_ended")),
}
