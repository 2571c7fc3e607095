"""Plans of exhibits: what is drawn or photographed, and where each place is on it."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint

from tarsus.records.models.facts import FieldFact
from tarsus.records.models.guards import said, within
from tarsus.records.models.park import Exhibit, Place


class PlanPicture(models.Model):
    """A photograph or drawing as it was made anew: nothing in it but what is to be seen."""

    jpeg = models.TextField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    digest = models.CharField(max_length=64, unique=True)

    class Meta:
        constraints = said("jpeg", "digest")


class ExhibitPlan(FieldFact):
    """The plan of an exhibit from then on; a later one takes its place. Shares count from the upper left."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="plans")
    width_m = models.FloatField()
    tall = models.FloatField()
    metres_a_minute = models.FloatField()
    entrance_x = models.FloatField(null=True)
    entrance_y = models.FloatField(null=True)
    shapes = models.JSONField(default=list)
    picture = models.ForeignKey(PlanPicture, null=True, on_delete=models.PROTECT, related_name="plans")

    class Meta:
        constraints = [
            within("width_m", 1, 2000),
            within("tall", 0.2, 5),
            within("metres_a_minute", 5, 120),
            within("entrance_x", 0, 1),
            within("entrance_y", 0, 1),
            CheckConstraint(
                condition=Q(entrance_x__isnull=True, entrance_y__isnull=True)
                | Q(entrance_x__isnull=False, entrance_y__isnull=False),
                name="exhibit_plan_entrance_whole",
            ),
        ]
        indexes = [models.Index(fields=["exhibit", "recorded_at"], name="plan_of_exhibit")]


class PlanPin(models.Model):
    """Where a place is on a plan, and how long it takes to look it over."""

    plan = models.ForeignKey(ExhibitPlan, on_delete=models.PROTECT, related_name="pins")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="pins")
    x = models.FloatField()
    y = models.FloatField()
    minutes = models.FloatField()

    class Meta:
        constraints = [
            UniqueConstraint(fields=["plan", "place"], name="place_pinned_once_a_plan"),
            within("x", 0, 1),
            within("y", 0, 1),
            within("minutes", 0.5, 120),
        ]
