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
from tarsus.actions.birds.samples import end_sample, note_stray_result, place_result, send_sample
from tarsus.actions.birds.stays import park_day
from tarsus.actions.birds.stories import tell_story
from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact, spell
from tarsus.actions.hearing.taking_back import begun, ended, mark_as_before
from tarsus.actions.telling import Told
from tarsus.records.models import NaturalMark, Pair, Transponder


def _no_answer(told: Told, values: Values) -> Wrote:
    return Wrote(end_sample(told=told, test_id=values["test"]))


def _unplaced(told: Told, values: Values) -> Wrote:
    return Wrote(note_stray_result(told=told, label=values["label"]))


def _natural_mark_reviewed(told: Told, values: Values) -> Wrote:
    before = review_natural_mark(
        mark_id=values["mark"],
        on=park_day(told.happened_at),
        by=told.by,
        still_there=values["still_there"],
        next_on=values["next_on"],
    )
    return Wrote(rows={"before": before.isoformat() if before else ""})


IDENTITY: Final[dict[str, Bound]] = {
    "sex_sample": fact("sex_sample", take_sex_sample),
    "sex_finding": fact("sex_finding", record_sex_finding, plain=True),
    "sample_sent": fact("sample_sent", send_sample),
    "sample_unanswered": Bound(_no_answer, action=end_sample),
    "result_unplaced": Bound(_unplaced, action=note_stray_result),
    "result_placed": fact("result_placed", place_result, question="question_id"),
    "visitor_story": fact("visitor_story", tell_story),
    "transponder_given": spell(
        "transponder_given", give_transponder, row="transponder", take_back=begun(Transponder)
    ),
    "natural_mark": spell("natural_mark", note_natural_mark, row="mark", take_back=begun(NaturalMark)),
    "natural_mark_reviewed": Bound(_natural_mark_reviewed, mark_as_before, action=review_natural_mark),
    "pair_formed": spell(
        "pair_formed", pair_birds, row="pair", one="one", other="other", take_back=begun(Pair)
    ),
    "pair_parted": spell("pair_parted", part_pair, deed=False, take_back=ended(Pair, "pair", "why_ended")),
}
