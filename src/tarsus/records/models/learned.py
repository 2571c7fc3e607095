"""What readers were taught by checks. It can be made anew from the facts."""

from __future__ import annotations

from django.db import models

from tarsus.records.models.people import Person


class LearnedReader(models.Model):
    """The lesson of one person, or of the park where `person` is null, and the version it rests on."""

    person = models.OneToOneField(Person, null=True, on_delete=models.PROTECT, related_name="+")
    version = models.CharField(max_length=32)
    made_at = models.DateTimeField()
    lesson = models.JSONField()
