"""Photographs that came with sightings, what they taught of cameras, and practice that somebody shares."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint
from django.utils import timezone

from tarsus.records.models.facts import FieldFact
from tarsus.records.models.guards import said
from tarsus.records.models.park import Exhibit
from tarsus.records.models.people import Person
from tarsus.records.models.rounds import Sighting


class Photograph(FieldFact):
    """What was tapped in the photograph that a sighting was read from.

    `taps` is what the model was given; `own_camera`: its phone took it, so that it tells of that camera. Of
    a kept picture its size; the bytes stand apart, since they go one day and this does not.
    """

    sighting = models.ForeignKey(Sighting, on_delete=models.PROTECT, related_name="photographs")
    own_camera = models.BooleanField(default=False)
    taps = models.JSONField()
    width = models.PositiveSmallIntegerField(null=True)
    height = models.PositiveSmallIntegerField(null=True)

    class Meta:
        constraints = [
            CheckConstraint(
                condition=Q(width__isnull=True, height__isnull=True) | Q(width__gt=0, height__gt=0),
                name="photograph_has_a_size_or_none",
            )
        ]


class PhotographBytes(models.Model):
    """A kept picture, as JPEG without data of place or maker. Deleted once a `PhotographRemoved` says so."""

    photograph = models.OneToOneField(
        Photograph, on_delete=models.PROTECT, primary_key=True, related_name="bytes"
    )
    jpeg = models.BinaryField()


class PhotographRemoved(models.Model):
    """A kept picture is gone: since when, why, and by whom; `by` is empty where its days were over."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    photograph = models.OneToOneField(Photograph, on_delete=models.PROTECT, related_name="removed")
    by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    because = models.CharField(max_length=300)

    class Meta:
        constraints = said("because")


class LearnedCamera(models.Model):
    """What checked photographs taught of one phone's camera, or of the park's bands where `device` is empty.

    It can be made anew from the facts.
    """

    device = models.CharField(max_length=64, unique=True, blank=True)
    version = models.CharField(max_length=32)
    made_at = models.DateTimeField()
    lesson = models.JSONField()


class SharedPractice(models.Model):
    """What somebody shares of their practice with a flock: whether they are ready, and their latest answers.

    It is theirs, not the register's: it gives way to what they share next, and goes when they take it back.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="shared_practice")
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="+")
    lookalike = models.CharField(max_length=40)
    ready = models.BooleanField()
    answers = models.JSONField(default=list)
    shared_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            UniqueConstraint(fields=["person", "exhibit", "lookalike"], name="practice_shared_once"),
            *said("lookalike"),
        ]
