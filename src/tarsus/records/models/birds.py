"""Birds: who they are, whose they are, and by what else than bands they are known."""

from __future__ import annotations

from django.db import models
from django.db.models import Q, UniqueConstraint
from django.utils import timezone

from tarsus.records.models.facts import Fact, Spell
from tarsus.records.models.guards import not_before, one_of, said, within
from tarsus.records.models.park import Exhibit, Place
from tarsus.records.models.people import Person
from tarsus.records.models.species import Species
from tarsus.records.models.words import Origin, Precision, Sample, Sex, SexKnownBy, Whereabouts


class Bird(models.Model):
    """One bird. Never deleted; what changes about it is told by facts and spells beside it.

    `owner` and `holder` are empty where it is this park. `number` is the park's own, if it keeps any.
    """

    deed = models.UUIDField(null=True, blank=True, unique=True)
    species = models.ForeignKey(Species, on_delete=models.PROTECT, related_name="birds")
    house_name = models.CharField(max_length=60, blank=True)
    number = models.CharField(max_length=40, blank=True)
    hatched_on = models.DateField(null=True, blank=True)
    hatched_precision = models.CharField(max_length=8, choices=Precision, default=Precision.UNKNOWN)
    origin = models.CharField(max_length=17, choices=Origin, default=Origin.UNKNOWN)
    dam = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    sire = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    foster_dam = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    foster_sire = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    nest = models.ForeignKey(
        "records.Nest", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    owner = models.CharField(max_length=120, blank=True)
    holder = models.CharField(max_length=120, blank=True)
    legal_mark = models.CharField(max_length=80, blank=True)
    certificate = models.CharField(max_length=80, blank=True)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            one_of("hatched_precision", Precision),
            one_of("origin", Origin),
            UniqueConstraint(fields=["number"], condition=~Q(number=""), name="bird_number_once"),
        ]

    def __str__(self) -> str:
        return self.house_name or self.number or f"bird {self.pk}"


class SexTest(Fact):
    """A sample was taken; it is tied to the band the bird wore at that moment."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="sex_tests")
    sample = models.CharField(max_length=8, choices=Sample)
    label = models.CharField(max_length=60, db_index=True)
    band = models.ForeignKey(
        "records.Band", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    laboratory = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints = [one_of("sample", Sample), *said("label")]


class SexFinding(Fact):
    """A sex became known, and how. The latest one that was not withdrawn stands."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="sex_findings")
    sex = models.CharField(max_length=1, choices=Sex)
    known_by = models.CharField(max_length=16, choices=SexKnownBy, default=SexKnownBy.NOT_SAID)
    test = models.ForeignKey(
        SexTest, null=True, blank=True, on_delete=models.PROTECT, related_name="findings"
    )

    class Meta:
        constraints = [one_of("sex", Sex), one_of("known_by", SexKnownBy)]
        indexes = [models.Index(fields=["bird", "happened_at"], name="sexfinding_of_bird")]


class Story(Fact):
    """What visitors may read of a bird; the latest that stands counts, an empty one says nothing."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="stories")
    text = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["bird", "recorded_at"], name="story_of_bird")]


class Transponder(Spell):
    """A chip under the skin. A number belongs to one bird for all time."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="transponders")
    number = models.CharField(max_length=30)
    where = models.CharField(max_length=60, blank=True)
    from_on = models.DateField()
    to_on = models.DateField(null=True, blank=True)
    why_ended = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints = [
            UniqueConstraint(
                fields=["number"], condition=Q(taken_back_at__isnull=True), name="transponder_once"
            ),
            not_before("from_on", "to_on"),
            *said("number"),
        ]


class NaturalMark(Spell):
    """Something by which a bird is told without bands; x and y place its pin on the drawing, in per cent."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="natural_marks")
    text = models.CharField(max_length=160)
    x = models.FloatField(null=True, blank=True)
    y = models.FloatField(null=True, blank=True)
    photo = models.CharField(max_length=200, blank=True)
    from_on = models.DateField()
    review_on = models.DateField(null=True, blank=True)
    to_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            not_before("from_on", "to_on"),
            within("x", 0, 100),
            within("y", 0, 100),
            *said("text"),
        ]


class Move(Fact):
    """One bird or a whole group went from one exhibit to another in one act."""

    from_exhibit = models.ForeignKey(
        Exhibit, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    to_exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="+")
    because = models.CharField(max_length=200, blank=True)


class MovedBird(models.Model):
    """A bird of a move: it came, or it would not come."""

    move = models.ForeignKey(Move, on_delete=models.PROTECT, related_name="birds")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="moves")
    came = models.BooleanField(default=True)
    because = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [UniqueConstraint(fields=["move", "bird"], name="moved_once_a_move")]


class Stay(Spell):
    """A bird lived in an exhibit from a day until, not including, another day.

    `begun_through` and `ended_through` are the facts (a move, a death …) that began and ended it: when such a
    fact is withdrawn, the stay is put right with it.
    """

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="stays")
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="stays")
    place = models.ForeignKey(Place, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    from_on = models.DateField()
    to_on = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    begun_through = models.UUIDField(null=True, blank=True, db_index=True)
    ended_through = models.UUIDField(null=True, blank=True, db_index=True)

    class Meta:
        constraints = [
            not_before("from_on", "to_on"),
            UniqueConstraint(
                fields=["bird"],
                condition=Q(to_on__isnull=True, taken_back_at__isnull=True),
                name="stay_open_once_a_bird",
            ),
            UniqueConstraint(
                fields=["bird", "from_on"],
                condition=Q(taken_back_at__isnull=True)
                & (Q(to_on__isnull=True) | Q(to_on__gt=models.F("from_on"))),
                name="stay_one_beginning_a_day",
            ),
        ]
        indexes = [
            models.Index(fields=["exhibit", "from_on", "to_on"], name="stay_in_exhibit"),
            models.Index(fields=["bird", "from_on"], name="stay_of_bird"),
        ]


class Pair(Spell):
    """Two birds are mates. `first` has the smaller id, so that a pair is written one way only."""

    first = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="+")
    from_on = models.DateField()
    to_on = models.DateField(null=True, blank=True)
    why_ended = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(first__lt=models.F("second")), name="pair_smaller_id_first"),
            not_before("from_on", "to_on"),
            UniqueConstraint(
                fields=["first", "second"],
                condition=Q(to_on__isnull=True, taken_back_at__isnull=True),
                name="pair_open_once",
            ),
        ]


class Missing(Fact):
    """A bird is missing, escaped, presumed dead, or was found again. The latest word stands."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="missing")
    state = models.CharField(max_length=13, choices=Whereabouts)
    exhibit = models.ForeignKey(Exhibit, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        verbose_name_plural = "missing"
        constraints = [one_of("state", Whereabouts)]
        indexes = [models.Index(fields=["bird", "happened_at"], name="missing_of_bird")]
