"""Long work that somebody asked for on a page, and how far it is."""

from __future__ import annotations

from uuid import uuid4

from django.db import models
from django.utils import timezone

from tarsus.records.models.people import Person


class Job(models.Model):
    """One piece of long work of the server: who asked for it, how far it is, and how it ended.

    It is over when `ended_at` stands; until then `beat_at` says when it last gave a sign of life. It is no
    record of the park: it is cleared away after some weeks, and no export holds it.
    """

    id = models.UUIDField(primary_key=True, default=uuid4)
    kind = models.CharField(max_length=40)
    title = models.CharField(max_length=200)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    beat_at = models.DateTimeField(default=timezone.now)
    doing = models.CharField(max_length=80, blank=True)
    done = models.PositiveIntegerField(default=0)
    steps = models.PositiveIntegerField(default=0)
    ended_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=10, blank=True)
    said = models.TextField(blank=True)
    leads_to = models.CharField(max_length=200, blank=True)
    file_name = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ended_at__isnull=True, outcome="")
                | models.Q(ended_at__isnull=False, outcome__in=("done", "refused", "failed")),
                name="job_ended_with_an_outcome",
            )
        ]
