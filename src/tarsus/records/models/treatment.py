"""Under the vet: what keepers are to do at the exhibit, body condition, treatments and their rechecks."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, F, Q

from tarsus.records.models.birds import Bird
from tarsus.records.models.care import Case
from tarsus.records.models.facts import Fact, FieldFact
from tarsus.records.models.guards import said


class Instruction(Fact):
    """What the vet wants done at the exhibit while a case is open. The latest one stands."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="instructions")
    text = models.CharField(max_length=200)

    class Meta:
        constraints = said("text")


class BodyCondition(FieldFact):
    """How well a bird is fleshed, from 1 to `scale_to`: the park's scale as it was when this was told."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="conditions")
    score = models.PositiveSmallIntegerField()
    scale_to = models.PositiveSmallIntegerField()
    in_hand = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            CheckConstraint(
                condition=Q(score__gte=1, score__lte=F("scale_to")), name="condition_on_its_scale"
            )
        ]
        indexes = [models.Index(fields=["bird", "happened_at"], name="condition_of_bird")]


class Treatment(Fact):
    """What the vet ordered for a bird, and how often it is looked at again."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="treatments")
    case = models.ForeignKey(Case, null=True, blank=True, on_delete=models.PROTECT, related_name="treatments")
    what = models.CharField(max_length=200)
    dose = models.CharField(max_length=120, blank=True)
    recheck_days = models.PositiveSmallIntegerField(null=True, blank=True)
    rechecks = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        constraints = [
            *said("what"),
            CheckConstraint(
                condition=Q(recheck_days__isnull=True, rechecks__isnull=True)
                | Q(recheck_days__gte=1, rechecks__gte=1),
                name="treatment_rechecks_told_whole",
            ),
        ]


class TreatmentRecheck(FieldFact):
    """A look at a bird under treatment."""

    treatment = models.ForeignKey(Treatment, on_delete=models.PROTECT, related_name="looks")
    better = models.BooleanField(null=True)
    note = models.CharField(max_length=300)

    class Meta:
        constraints = said("note")


class TreatmentEnded(Fact):
    """The vet ended a treatment before its last recheck, or one that had none."""

    treatment = models.ForeignKey(Treatment, on_delete=models.PROTECT, related_name="ends")
    because = models.CharField(max_length=300)

    class Meta:
        constraints = said("because")
