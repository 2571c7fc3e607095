"""Sex, transponder, natural marks and mates: what else is known of a bird."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils import timezone

from tarsus.actions.asked_once import as_a_whole
from tarsus.actions.birds.samples import ask_for_sample, refuse_answered, refuse_label_taken
from tarsus.actions.known import known, known_bird, known_person
from tarsus.actions.refusals import AlreadySo, OutOfOrder
from tarsus.actions.telling import Told, insert_once, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.presence.transponders import number_kept
from tarsus.records.models import Band, NaturalMark, Pair, SexFinding, SexTest, Transponder
from tarsus.records.models.words import Sample, Sex, SexKnownBy


@transaction.atomic
def take_sex_sample(
    *,
    told: Told,
    bird_id: int,
    sample: str,
    label: str,
    band_id: int | None = None,
    laboratory: str = "",
) -> bool:
    """Write down that a sample was taken; it is tied to the band the bird wore, lest tubes be mixed up.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird or band.
        UnknownWord: no such kind of sample.
        WrongValue: no label, or the band is another bird's.
        AlreadySo: the label is on another sample.
    """
    bird = known_bird(bird_id)
    if sample not in Sample.values:
        raise UnknownWord("sample", sample, "sample", Sample.values)
    if not label.strip():
        raise WrongValue("label", "is empty; write what stands on the tube")
    if band_id is not None and known(Band, band_id, "band").bird_id != bird_id:
        raise WrongValue("band", f"this band is not {bird}'s; read the band again")
    refuse_label_taken(label.strip(), told.id)
    columns = {
        "bird_id": bird_id,
        "sample": sample,
        "label": label.strip(),
        "band_id": band_id,
        "laboratory": laboratory,
    }
    return write_once(SexTest, told, columns)


@as_a_whole
def record_sex_finding(
    *, told: Told, bird_id: int, sex: str, known_by: str, test_id: UUID | None = None
) -> bool:
    """Write down a bird's sex and how it was known. The latest finding stands, earlier ones stay readable.

    Marks are not touched: what the finding asks for is a duty, and waits for the next handling.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird or test.
        UnknownWord: no such sex or way of knowing.
        WrongValue: the test was of another bird; or DNA, while a sample of it waits that nobody named.
        AlreadySo: the sample is answered already.
    """
    bird = known_bird(bird_id)
    if sex not in Sex.values:
        raise UnknownWord("sex", sex, "sex", Sex.values)
    if known_by not in SexKnownBy.values:
        raise UnknownWord("known_by", known_by, "way of knowing a sex", SexKnownBy.values)
    if test_id is not None and known(SexTest, test_id, "test").bird_id != bird_id:
        raise WrongValue("test", f"this sample was not {bird}'s; compare the label with the band")
    columns = {"bird_id": bird_id, "sex": sex, "known_by": known_by, "test_id": test_id}
    if not write_once(SexFinding, told, columns):
        return False
    if test_id is not None:
        refuse_answered(test_id, told.id)
    elif known_by == SexKnownBy.DNA:
        ask_for_sample(bird, told)
    return True


@transaction.atomic
def give_transponder(
    *, bird_id: int, number: str, on: date, by: int, where: str = "", deed: UUID | None = None
) -> int:
    """Write down a bird's transponder.

    Returns:
        The row's id; the same deed told twice writes one.

    Raises:
        Unknown: no such bird.
        WrongValue: no number.
        AlreadySo: the number belongs to a bird already; it stays that bird's for all time.
    """
    if deed is not None and (done := Transponder.objects.filter(deed=deed).first()) is not None:
        return done.pk
    bird = known_bird(bird_id)
    known_person(by)
    plain = number_kept("".join(number.split()).upper())
    if not plain:
        raise WrongValue("number", "is empty; read the transponder again")
    row = Transponder(bird=bird, number=plain, where=where, from_on=on, recorded_by_id=by, deed=deed)
    try:
        return insert_once(row, deed).pk
    except IntegrityError:
        other = Transponder.objects.filter(number=plain, taken_back_at__isnull=True).first()
        if other is None:
            raise
        raise AlreadySo("number", f"{plain} is {other.bird}'s; read the transponder again") from None


@transaction.atomic
def note_natural_mark(
    *,
    bird_id: int,
    text: str,
    on: date,
    by: int,
    x: float | None = None,
    y: float | None = None,
    photo: str = "",
    review_on: date | None = None,
    deed: UUID | None = None,
) -> int:
    """Write down something by which a bird is told: in words, with its pin on the drawing (per cent).

    A wound is a concern and no mark: it heals, and the bird would be unknown again.

    Returns:
        The row's id; the same deed told twice writes one.

    Raises:
        Unknown: no such bird.
        WrongValue: no words, or a pin off the drawing.
        OutOfOrder: the review is before the mark was seen.
    """
    if deed is not None and (done := NaturalMark.objects.filter(deed=deed).first()) is not None:
        return done.pk
    bird = known_bird(bird_id)
    known_person(by)
    if not text.strip():
        raise WrongValue("text", "is empty; say what is to be seen")
    for name, value in (("x", x), ("y", y)):
        if value is not None and not 0 <= value <= 100:
            raise WrongValue(name, f"{value:g} is off the drawing; give 0 to 100")
    if review_on is not None and review_on < on:
        raise OutOfOrder("review_on", f"{review_on} is before the mark was seen ({on}); choose a later day")
    row = NaturalMark(
        bird=bird,
        text=text.strip(),
        x=x,
        y=y,
        photo=photo,
        from_on=on,
        review_on=review_on,
        recorded_by_id=by,
        deed=deed,
    )
    return insert_once(row, deed).pk


@transaction.atomic
def review_natural_mark(
    *, mark_id: int, on: date, by: int, still_there: bool, next_on: date | None
) -> date | None:
    """Write down that a natural mark was looked at again: it is still there, or it is gone since that day.

    Returns:
        By when it was to be looked at until now.

    Raises:
        Unknown: no such mark.
        AlreadySo: it was gone before.
        OutOfOrder: the look is before the mark was first seen.
    """
    row = known(NaturalMark, mark_id, "natural mark")
    known_person(by)
    if row.to_on is not None:
        raise AlreadySo("mark", f"it is gone since {row.to_on}; write down a new one")
    if on < row.from_on:
        raise OutOfOrder("on", f"{on} is before the mark was seen ({row.from_on}); choose a later day")
    before = row.review_on
    if still_there:
        row.review_on = next_on
        row.save(update_fields=["review_on"])
        return before
    row.to_on, row.ended_by_id, row.ended_at = on, by, timezone.now()
    row.save(update_fields=["to_on", "ended_by", "ended_at"])
    return before


@transaction.atomic
def pair_birds(*, one: int, other: int, on: date, by: int, deed: UUID | None = None) -> int:
    """Write down that two birds are mates.

    Returns:
        The pair's id; a pair that is written already is found and not written twice.

    Raises:
        Unknown: no such bird.
        WrongValue: a bird with itself.
    """
    if one == other:
        raise WrongValue("other", "is the same bird; choose its mate")
    known_bird(one, "one"), known_bird(other, "other"), known_person(by)
    first, second = sorted((one, other))
    pair = Pair.objects.filter(
        first_id=first, second_id=second, to_on__isnull=True, taken_back_at__isnull=True
    ).first()
    if pair is None:
        pair = Pair.objects.create(first_id=first, second_id=second, from_on=on, recorded_by_id=by, deed=deed)
    return pair.pk


@transaction.atomic
def part_pair(*, pair_id: int, on: date, why: str, by: int) -> bool:
    """Write down that two birds are mates no longer.

    Returns:
        Whether it was written now; `False` when they had parted before.

    Raises:
        Unknown: no such pair.
        OutOfOrder: before they paired.
    """
    row = known(Pair, pair_id, "pair")
    known_person(by)
    if row.to_on is not None:
        return False
    if on < row.from_on:
        raise OutOfOrder("on", f"{on} is before they paired ({row.from_on}); choose a later day")
    row.to_on, row.why_ended, row.ended_by_id, row.ended_at = on, why, by, timezone.now()
    row.save(update_fields=["to_on", "why_ended", "ended_by", "ended_at"])
    return True
