"""The roll call: rounds, counts, groups, sightings. All of it is appended; the database refuses the rest.

Two phones that are both without signal may each start a round of one exhibit. Both stand. Rounds of one
exhibit that are open at the same time are read together as one roll call; nothing is merged in the tables.
"""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import CheckConstraint, Q

from tarsus.records.models.birds import Bird
from tarsus.records.models.facts import FieldFact
from tarsus.records.models.guards import not_before, one_of, said, within
from tarsus.records.models.park import Exhibit, Place
from tarsus.records.models.people import Person
from tarsus.records.models.words import How, Light, Side


class Round(models.Model):
    """One roll call of one exhibit: only its name and place. Start, end and *not done* are facts about it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="rounds")


class RoundStarted(FieldFact):
    """Somebody started calling the roll."""

    round = models.OneToOneField(Round, on_delete=models.PROTECT, related_name="started")

    class Meta:
        indexes = [
            models.Index(fields=["happened_at"], name="roundstarted_at"),
            models.Index(fields=["recorded_at"], name="roundstarted_recorded"),
        ]


class RoundClosed(FieldFact):
    """The round was closed. `version` is what was known at that moment, and stays as it was."""

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="closings")
    version = models.JSONField()

    class Meta:
        indexes = [
            models.Index(fields=["happened_at"], name="roundclosed_at"),
            models.Index(fields=["recorded_at"], name="roundclosed_recorded"),
        ]


class RoundReopened(FieldFact):
    """A round that was over was opened again: on its own day it goes on. Its closed versions stay as they
    were.
    """

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="reopenings")

    class Meta:
        indexes = [models.Index(fields=["recorded_at"], name="roundreopened_recorded")]


class RoundLight(FieldFact):
    """The light in which a round is read, and whether bands are muddy. The latest word stands."""

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="lights")
    light = models.CharField(max_length=6, choices=Light)
    mud = models.BooleanField(default=False)

    class Meta:
        constraints = [one_of("light", Light)]
        indexes = [models.Index(fields=["recorded_at"], name="roundlight_recorded")]


class RoundNotDone(FieldFact):
    """The round was not done, because: all of it, or one look-alike group of the exhibit, if one is named."""

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="not_done")
    lookalike = models.CharField(max_length=40, blank=True)
    because = models.CharField(max_length=300)

    class Meta:
        constraints = said("because")
        indexes = [
            models.Index(fields=["happened_at"], name="roundnotdone_at"),
            models.Index(fields=["recorded_at"], name="roundnotdone_recorded"),
        ]


class Count(FieldFact):
    """So many of a look-alike group were counted. Counts of two keepers that differ stand side by side."""

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="counts")
    lookalike = models.CharField(max_length=40)
    counted = models.PositiveIntegerField()

    class Meta:
        constraints = said("lookalike")
        indexes = [
            models.Index(fields=["happened_at"], name="count_at"),
            models.Index(fields=["recorded_at"], name="count_recorded"),
        ]


class Group(FieldFact):
    """Birds in view together. The latest word about a group stands (*they flew* comes later)."""

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="groups")
    group = models.UUIDField(db_index=True)
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    size = models.PositiveSmallIntegerField()
    flew = models.BooleanField(default=False)


class TransponderRead(FieldFact):
    """An antenna read a transponder, once or in a burst up to `until`.

    `bird` is whose it was by the register then. It is no sighting: docs/decisions/0049-a-chip-is-no-bird.md.
    """

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="transponder_reads")
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    bird = models.ForeignKey(Bird, null=True, on_delete=models.PROTECT, related_name="transponder_reads")
    code = models.CharField(max_length=30)
    antenna = models.CharField(max_length=60)
    until = models.DateTimeField()
    reads = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [*said("code", "antenna"), not_before("happened_at", "until")]
        indexes = [
            models.Index(fields=["exhibit", "until"], name="transponderread_until"),
            models.Index(fields=["recorded_at"], name="transponderread_recorded"),
        ]


class Sighting(FieldFact):
    """Somebody saw a bird. Without a round it is a casual sighting; without a bird it is a part reading."""

    round = models.ForeignKey(Round, null=True, on_delete=models.PROTECT, related_name="sightings")
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="sightings")
    bird = models.ForeignKey(Bird, null=True, on_delete=models.PROTECT, related_name="sightings")
    lookalike = models.CharField(max_length=40, blank=True)
    how = models.CharField(max_length=12, choices=How)
    reading = models.JSONField(null=True)
    candidates = models.JSONField(default=list)
    none_of_these = models.FloatField(null=True)
    chance = models.FloatField(default=1.0)
    accepted_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    group = models.UUIDField(null=True)
    position = models.PositiveSmallIntegerField(null=True)
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    photographed = models.BooleanField(default=False)

    class Meta:
        constraints = [
            one_of("how", How),
            within("none_of_these", 0, 1),
            within("chance", 0, 1),
            CheckConstraint(
                condition=Q(how="part reading", bird__isnull=True)
                | (~Q(how="part reading") & Q(bird__isnull=False, accepted_by__isnull=False)),
                name="sighting_named_has_a_bird",
            ),
            CheckConstraint(
                condition=~Q(how="by reading") | Q(reading__isnull=False), name="sighting_read_has_a_reading"
            ),
        ]
        indexes = [
            models.Index(fields=["bird", "-happened_at"], name="sighting_of_bird"),
            models.Index(fields=["exhibit", "happened_at"], name="sighting_in_exhibit"),
            models.Index(fields=["happened_at"], name="sighting_at"),
            models.Index(fields=["recorded_at"], name="sighting_recorded"),
        ]


class Withdrawal(FieldFact):
    """A fact was a mistake. It stays written and counts no longer."""

    withdraws = models.UUIDField(db_index=True)
    kind = models.CharField(max_length=30)
    because = models.CharField(max_length=300)

    class Meta:
        constraints = said("because", "kind")
        indexes = [models.Index(fields=["recorded_at"], name="withdrawal_recorded")]


class Concern(FieldFact):
    """Something about a bird was not as it should be: of one bird, or of *one of these*."""

    sighting = models.ForeignKey(Sighting, null=True, on_delete=models.PROTECT, related_name="concerns")
    seen = models.JSONField(default=list)
    side = models.CharField(max_length=5, choices=Side, blank=True)
    note = models.CharField(max_length=500, blank=True)
    tell_vet = models.BooleanField(default=False)

    class Meta:
        constraints = [one_of("side", Side)]


class ConcernBird(models.Model):
    """A bird that a concern is, or may be, about."""

    concern = models.ForeignKey(Concern, on_delete=models.PROTECT, related_name="birds")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="concerns")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["concern", "bird"], name="concern_once_a_bird")]


class Intruder(FieldFact):
    """Something was in an exhibit that does not belong there."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="intruders")
    what = models.CharField(max_length=120)
    reading = models.JSONField(null=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = said("what")
