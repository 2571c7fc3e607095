"""The ledger: every deed that was told through the door, whatever rows it wrote elsewhere."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from tarsus.records.models.birds import Bird
from tarsus.records.models.guards import said
from tarsus.records.models.people import Person


class ToldDeed(models.Model):
    """One deed as it was told: who, when, what, and from whose session. Appended only.

    The id is chosen by whoever tells it; `digest` notices the same id with other contents. `corrects` is the
    deed that this one was told in place of. `wrote` names rows by what they are (``bird``, ``band``).
    """

    id = models.UUIDField(primary_key=True)
    kind = models.CharField(max_length=30)
    contents = models.JSONField(default=dict)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField(default=timezone.now)
    sent_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    device = models.CharField(max_length=64, blank=True)
    digest = models.CharField(max_length=32)
    corrects = models.UUIDField(null=True, db_index=True)
    why_corrected = models.CharField(max_length=300, blank=True)
    wrote = models.JSONField(default=dict)

    class Meta:
        constraints = said("kind", "digest")
        indexes = [models.Index(fields=["kind", "happened_at"], name="deed_of_kind")]


class DeedBird(models.Model):
    """A bird that a deed is about."""

    deed = models.ForeignKey(ToldDeed, on_delete=models.PROTECT, related_name="birds")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="deeds")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["deed", "bird"], name="deed_once_a_bird")]
