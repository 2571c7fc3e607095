"""What somebody who is no keeper told of a bird: kept as a report, never as a sighting."""

from __future__ import annotations

from django.db import models

from tarsus.records.models.birds import Bird
from tarsus.records.models.facts import FieldFact
from tarsus.records.models.guards import said, within
from tarsus.records.models.park import Exhibit, Place


class Report(FieldFact):
    """A visitor, or anybody else, told of a bird. It names candidates, prompts a look and clears nobody.

    `exhibit` and `place` are where it was told to be, if it was in an exhibit; `candidates` what the model
    made of what was described, as a sighting keeps it.
    """

    exhibit = models.ForeignKey(Exhibit, null=True, on_delete=models.PROTECT, related_name="reports")
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    told_by = models.CharField(max_length=120, blank=True)
    said = models.CharField(max_length=500)
    reading = models.JSONField(null=True)
    candidates = models.JSONField(default=list)
    none_of_these = models.FloatField(null=True)

    class Meta:
        constraints = [*said("said"), within("none_of_these", 0, 1)]
        indexes = [models.Index(fields=["recorded_at"], name="report_recorded")]


class ReportBird(models.Model):
    """A bird that a report is, or may be, about."""

    report = models.ForeignKey(Report, on_delete=models.PROTECT, related_name="birds")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="reports")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["report", "bird"], name="report_once_a_bird")]


class ReportAnswered(FieldFact):
    """Somebody looked after a report, and this is what they found."""

    report = models.ForeignKey(Report, on_delete=models.PROTECT, related_name="answers")
    found = models.CharField(max_length=300)

    class Meta:
        constraints = said("found")
