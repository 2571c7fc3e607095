"""What every fact carries: who, when it happened, when it was written."""

from __future__ import annotations

import uuid

from django.db import models
from django.utils import timezone

from tarsus.records.models.guards import said
from tarsus.records.models.people import DeviceToken, Person


class Fact(models.Model):
    """Something that happened, appended and never changed.

    The id is chosen by whoever tells it, so that telling twice writes once; `told` is a digest of the
    contents, so that the same id with other contents is noticed. A mistake is put right by a `Withdrawal`,
    or by a later fact whose `corrects` points here.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now)
    happened_at = models.DateTimeField()
    corrects = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    told = models.CharField(max_length=32, blank=True)

    class Meta:
        abstract = True


class FieldFact(Fact):
    """A fact from a phone: its own clock, how far that clock was off, and who sent it for whom."""

    phone_at = models.DateTimeField(null=True)
    clock_offset_s = models.FloatField(null=True)
    device = models.CharField(max_length=64, blank=True)
    sent_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True


class Spell(models.Model):
    """Something that lasts from a day to a day. Its end is written later; a mistaken one is taken back.

    `deed` is an id chosen by the form, so that sending it twice writes once.
    """

    deed = models.UUIDField(null=True, blank=True, unique=True)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now)
    ended_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)
    taken_back_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_back_at = models.DateTimeField(null=True, blank=True)
    taken_back_because = models.CharField(max_length=300, blank=True)

    class Meta:
        abstract = True


class Change(models.Model):
    """One field of one row was changed: what it was, what it is, by whom. Appended only."""

    table = models.CharField(max_length=40)
    key = models.CharField(max_length=40)
    field = models.CharField(max_length=60)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)
    by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        indexes = [models.Index(fields=["table", "key", "at"], name="change_of_row")]


class Waiting(models.Model):
    """A fact that came before the fact it leans on. It is kept, and written when that one arrives.

    `reason` is filled when its turn came and it was refused: then somebody has to look at it.
    """

    id = models.UUIDField(primary_key=True)
    needs = models.UUIDField(db_index=True)
    kind = models.CharField(max_length=30)
    contents = models.JSONField()
    told = models.CharField(max_length=32)
    sent_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    device = models.CharField(max_length=64, blank=True)
    token = models.ForeignKey(DeviceToken, null=True, on_delete=models.PROTECT, related_name="+")
    clock_offset_s = models.FloatField(null=True)
    received_at = models.DateTimeField(default=timezone.now)
    reason = models.CharField(max_length=400, blank=True)


class SetAside(FieldFact):
    """Somebody looked at a fact that waits or was refused late: it needs nothing more."""

    waiting = models.UUIDField(db_index=True)
    because = models.CharField(max_length=300)

    class Meta:
        constraints = said("because")
